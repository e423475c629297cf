//! What the player of a show must be built for: the parts of it, by the names of the macros and constants that configure it.

use super::firmware::Firmware;
use super::namer::{Case, Namer};
use crate::budget::{field_code_bytes_on, shared_fields_cost_on};
use crate::panel::{Core, PlayerCost, PlayerParts, lamp_code_on, player_costs, text_code_on, threshold_code_on};
use crate::reel::shares_bytes;

/// Columns and pages of a copy of the picture.
pub type PictureSize = (u32, u32);

/// What one show needs of the player.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Needs {
    /// The show's name, and the stem of its files and identifiers.
    pub show: String,
    pub stem: String,
    /// For each row of `PARTS` whether it is needed.
    pub parts: [bool; PARTS.len()],
    /// How many areas a scene has at most.
    pub areas: u8,
    /// How many live values it has.
    pub live: u8,
    /// How many bytes its charts keep of live values.
    pub history: u16,
    /// The picture that a dense reel is drawn on.
    pub picture: Option<PictureSize>,
}

/// A part of the player that firmware has only if a show needs it.
pub struct PlayerPart {
    /// `BEAM` for `PAGELOOM_BEAM` in C and `BEAM` in Rust.
    pub name: &'static str,
    /// What a reel or show that needs it has.
    pub has: &'static str,
    needed: fn(&Firmware) -> bool,
    /// Bytes of flash and of RAM beside the rest, on 8-bit AVR.
    cost: fn(&PlayerCost) -> (u32, u32),
}

/// The parts in the order of the configuration.
pub const PARTS: [PlayerPart; 20] = [
    PlayerPart {
        name: "WINDOWS",
        has: "sends windows of cells",
        needed: |show| show.picture.is_none() && !show.parts.areas_alone,
        cost: |row| (row.windows().0.0, row.windows().1.0),
    },
    PlayerPart {
        name: "DENSE",
        has: "needs a picture copy",
        needed: |show| show.picture.is_some() && !show.parts.film,
        cost: |row| part_cost(row, PlayerParts { dense: true, ..PlayerParts::NONE }),
    },
    PlayerPart {
        name: "FILM",
        has: "is a film on a picture copy",
        needed: |show| show.parts.film,
        cost: |row| part_cost(row, PlayerParts { dense: true, film: true, ..PlayerParts::NONE }),
    },
    PlayerPart {
        name: "CHANGES",
        has: "sends only the changed cells of moving strips",
        needed: |show| show.parts.changes,
        cost: |row| part_cost(row, PlayerParts { changes: true, ..PlayerParts::NONE }),
    },
    PlayerPart {
        name: "BEAM",
        has: "has a turning beam",
        needed: |show| show.parts.beam,
        cost: |row| part_cost(row, PlayerParts { beam: true, ..PlayerParts::NONE }),
    },
    PlayerPart {
        name: "GRAINS",
        has: "has noise",
        needed: |show| show.parts.grains,
        cost: |row| part_cost(row, PlayerParts { grains: true, ..PlayerParts::NONE }),
    },
    PlayerPart {
        name: "ROLLS",
        has: "has scrolling lines",
        needed: |show| show.parts.rolls,
        cost: |row| part_cost(row, PlayerParts { rolls: true, ..PlayerParts::NONE }),
    },
    PlayerPart {
        name: "ROUNDS",
        has: "has a part of the picture that repeats on its own",
        needed: |show| show.parts.rounds,
        cost: |row| part_cost(row, PlayerParts { rounds: true, ..PlayerParts::NONE }),
    },
    PlayerPart {
        name: "AREAS",
        has: "has moving areas",
        needed: |show| show.parts.areas > 0,
        cost: |row| part_cost(row, PlayerParts { areas: 1, ..PlayerParts::NONE }),
    },
    PlayerPart {
        name: "LIVE",
        has: "has live values",
        needed: |show| show.parts.live > 0,
        cost: |row| {
            let (areas, live) =
                (PlayerParts { areas: 1, ..PlayerParts::NONE }, PlayerParts { areas: 1, live: 1, ..PlayerParts::NONE });
            let (without, with) = (part_cost(row, areas), part_cost(row, live));
            (with.0 - without.0, with.1 - without.1)
        },
    },
    PlayerPart {
        name: "HISTORY",
        has: "has charts of live values",
        needed: |show| show.parts.history > 0,
        cost: |row| part_cost(row, PlayerParts { history: 1, ..PlayerParts::NONE }),
    },
    PlayerPart {
        name: "DIMS",
        has: "has a contrast that follows a live value",
        needed: |show| show.parts.dims,
        cost: |row| part_cost(row, PlayerParts { dims: true, ..PlayerParts::NONE }),
    },
    PlayerPart {
        name: "FIELDS",
        has: "has live fields",
        needed: |show| !show.fields.is_empty(),
        cost: |row| (field_code_bytes_on(row.core), 1),
    },
    PlayerPart {
        name: "SHARED_FIELDS",
        has: "has live fields that share display bytes",
        needed: |show| show.fields.iter().any(|field| shares_bytes(&field.table)),
        cost: |row| shared_fields_cost_on(row.core),
    },
    PlayerPart {
        name: "LAMPS",
        has: "has lamps",
        needed: |show| !show.lamps.is_empty(),
        cost: |row| (lamp_code_on(row.core).flash.0, 0),
    },
    PlayerPart {
        name: "TEXTS",
        has: "has live texts",
        needed: |show| !show.texts.is_empty(),
        cost: |row| (text_code_on(row.core).flash.0, 0),
    },
    PlayerPart {
        name: "THRESHOLDS",
        has: "has thresholds",
        needed: |show| !show.thresholds.is_empty(),
        cost: |row| (threshold_code_on(row.core).flash.0, threshold_code_on(row.core).ram.0),
    },
    PlayerPart { name: "SPI", has: "is shown over SPI", needed: |show| show.spi, cost: |_| (0, 0) },
    PlayerPart {
        name: "NINE_BITS",
        has: "is shown over 3-wire SPI, of nine bits a byte",
        needed: |show| show.nine_bits,
        cost: |_| (0, 0),
    },
    PlayerPart {
        name: "UNACKNOWLEDGED",
        has: "ignores missing acknowledges",
        needed: |show| show.unacknowledged,
        cost: |_| (0, 0),
    },
];

fn part_cost(row: &PlayerCost, parts: PlayerParts) -> (u32, u32) {
    (row.flash_with(parts).0 - row.flash.0, row.state_of(parts).0)
}

impl PlayerPart {
    /// Bytes of flash and of state that it takes on 8-bit AVR.
    pub fn cost_on_avr(&self) -> (u32, u32) {
        player_costs().iter().find(|row| row.core == Core::Avr).map_or((0, 0), self.cost)
    }
}

impl Needs {
    /// What a show needs.
    pub fn of(firmware: &Firmware) -> Self {
        Self {
            show: firmware.name.clone(),
            stem: stem(&firmware.name),
            parts: PARTS.map(|part| (part.needed)(firmware)),
            areas: firmware.parts.areas,
            live: firmware.parts.live,
            history: firmware.parts.history,
            picture: firmware.picture,
        }
    }

    /// The number that a part comes with, if it comes with one.
    pub fn number(&self, name: &str) -> Option<u16> {
        match name {
            "AREAS" => Some(self.areas.into()),
            "LIVE" => Some(self.live.into()),
            "HISTORY" => Some(self.history),
            _ => None,
        }
    }

    /// Whether it needs a part.
    pub fn has(&self, name: &str) -> bool {
        PARTS.iter().zip(self.parts).any(|(part, needed)| needed && part.name == name)
    }

    /// Whether the reel has the instructions that dense ones leave out.
    pub fn is_lean(&self) -> bool {
        self.picture.is_none()
    }
}

/// The name of a show's files and the beginning of its identifiers.
pub fn stem(show: &str) -> String {
    Namer::default().name("", show, Case::Snake)
}
