//! The cost of the C player on a microcontroller: measured if it was built and run there, else that of a similar one.

use super::{Core, Microcontroller, Panel};
use crate::units::{FlashBytes, RamBytes};

/// What the player costs on a part; tests/root/firmware builds and runs it again and holds each row to that.
#[derive(Debug, PartialEq, Eq)]
pub struct PlayerCost {
    /// Part number of what was measured.
    pub part: &'static str,
    /// Instruction set.
    pub core: Core,
    /// Code of the player, without the reel and without the functions that drive the bus.
    pub flash: FlashBytes,
    /// State of one player.
    pub state: RamBytes,
    /// Deepest stack under one call, the example's bus functions and the return address counted, interrupts not.
    pub stack: RamBytes,
    /// How it was measured.
    pub source: &'static str,
}

static COSTS: [PlayerCost; 3] = [
    PlayerCost {
        part: "ATmega328P",
        core: Core::Avr,
        flash: FlashBytes(1536),
        state: RamBytes(55),
        stack: RamBytes(26),
        source: "measured, avr-gcc 5.4 -Os, a show of the bench on the simulated part",
    },
    PlayerCost {
        part: "ATtiny85",
        core: Core::Avr,
        flash: FlashBytes(1466),
        state: RamBytes(55),
        stack: RamBytes(26),
        source: "measured, avr-gcc 5.4 -Os, its example on the simulated part, bus moved by hand",
    },
    PlayerCost {
        part: "Cortex-M3",
        core: Core::CortexM,
        flash: FlashBytes(1548),
        state: RamBytes(60),
        stack: RamBytes(116),
        source: "measured, arm-none-eabi-gcc 12.2 -Os, the demo in QEMU, which does not count cycles",
    },
];

/// Every part on which the player was measured.
pub fn player_costs() -> &'static [PlayerCost] {
    &COSTS
}

impl Microcontroller {
    /// What the player costs here, and whether that was measured on this very part.
    pub fn player_cost(&self) -> (&'static PlayerCost, bool) {
        let same = COSTS.iter().find(|row| row.part.eq_ignore_ascii_case(&self.name));
        // RISC-V is taken to be near the other 32-bit parts.
        let kind = if self.core == Core::Avr { Core::Avr } else { Core::CortexM };
        let alike = || COSTS.iter().find(|row| row.core == kind).unwrap_or(&COSTS[0]);
        same.map_or_else(|| (alike(), false), |row| (row, true))
    }
}

/// The optional parts of the player that a reel needs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PlayerParts {
    /// It draws on a copy of the picture.
    pub dense: bool,
    /// It draws films: with `dense`, in place of what draws other dense reels.
    pub film: bool,
    /// It computes a turning beam.
    pub beam: bool,
    /// It sends only the changed cells of moving strips; lean reels only.
    pub changes: bool,
    /// Whether areas can be noise.
    pub grains: bool,
    /// It writes rows that roll into view; lean reels only.
    pub rolls: bool,
    /// Whether a part of the picture repeats on its own (a loop); lean reels only.
    pub rounds: bool,
    /// How many areas of a scene it composes at most.
    pub areas: u8,
    /// How many live values its areas or contrasts follow.
    pub live: u8,
    /// Bytes that charts keep of live values.
    pub history: u16,
    /// Whether a contrast follows a live value.
    pub dims: bool,
    /// Whether its areas send all cells, so that it needs no windows.
    pub areas_alone: bool,
}

impl PlayerParts {
    /// No optional part.
    pub const NONE: Self = Self {
        dense: false,
        film: false,
        beam: false,
        changes: false,
        grains: false,
        rolls: false,
        rounds: false,
        areas: 0,
        live: 0,
        history: 0,
        dims: false,
        areas_alone: false,
    };
}

/// What a part of the player takes beside the rest.
struct PartCost {
    code: FlashBytes,
    /// State, without the copy of the picture and its marks.
    state: RamBytes,
    stack: RamBytes,
}

/// Drawing from a copy of the picture on 8-bit AVR and on Arm parts: code and state measured on the C player for 72×40 at -Os
/// (Debian's gcc-avr 5.4 and gcc-arm-none-eabi 12.2; tests/root/firmware/measured_drawing.rs measures them again), stack on the
/// simulated ATmega328P, on Arm taken to be as much more as there.
static DENSE: [PartCost; 2] = [
    PartCost { code: FlashBytes(2798), state: RamBytes(73), stack: RamBytes(30) },
    PartCost { code: FlashBytes(1862), state: RamBytes(97), stack: RamBytes(60) },
];

/// Drawing films on a copy of the picture, measured in the same way.
static FILM: [PartCost; 2] = [
    PartCost { code: FlashBytes(3821), state: RamBytes(64), stack: RamBytes(51) },
    PartCost { code: FlashBytes(2861), state: RamBytes(136), stack: RamBytes(100) },
];

/// A beam that turns, measured in the same way.
static BEAM: [PartCost; 2] = [
    PartCost { code: FlashBytes(1163), state: RamBytes(12), stack: RamBytes(1) },
    PartCost { code: FlashBytes(1049), state: RamBytes(20), stack: RamBytes(2) },
];

/// A beam that turns in lean reels, measured in the same way.
static TURNS: [PartCost; 2] = [
    PartCost { code: FlashBytes(1537), state: RamBytes(5), stack: RamBytes(28) },
    PartCost { code: FlashBytes(1361), state: RamBytes(4), stack: RamBytes(72) },
];

/// Noise of areas, measured in the same way.
static GRAINS: [PartCost; 2] = [
    PartCost { code: FlashBytes(276), state: RamBytes(0), stack: RamBytes(0) },
    PartCost { code: FlashBytes(272), state: RamBytes(0), stack: RamBytes(0) },
];

/// Rows that roll in lean reels, measured in the same way.
static ROLLS: [PartCost; 2] = [
    PartCost { code: FlashBytes(1262), state: RamBytes(4), stack: RamBytes(46) },
    PartCost { code: FlashBytes(902), state: RamBytes(4), stack: RamBytes(88) },
];

/// Sending only what changes, measured in the same way; tests/root/firmware/measured.rs measures it again.
static CHANGES: [PartCost; 2] = [
    PartCost { code: FlashBytes(278), state: RamBytes(2), stack: RamBytes(6) },
    PartCost { code: FlashBytes(262), state: RamBytes(4), stack: RamBytes(12) },
];

/// A round, measured in the same way.
static ROUNDS: [PartCost; 2] = [
    PartCost { code: FlashBytes(130), state: RamBytes(2), stack: RamBytes(0) },
    PartCost { code: FlashBytes(60), state: RamBytes(4), stack: RamBytes(0) },
];

/// Areas, measured in the same way, with the place of one of them.
static AREAS: [PartCost; 2] = [
    PartCost { code: FlashBytes(2222), state: RamBytes(16), stack: RamBytes(88) },
    PartCost { code: FlashBytes(1784), state: RamBytes(16), stack: RamBytes(170) },
];

/// Areas over a copy of the picture, beside areas, measured in the same way: over that of dense reels, and over that of films.
static OVER_DENSE: [PartCost; 2] = [
    PartCost { code: FlashBytes(354), state: RamBytes(3), stack: RamBytes(0) },
    PartCost { code: FlashBytes(220), state: RamBytes(4), stack: RamBytes(0) },
];
static OVER_FILM: [PartCost; 2] = [
    PartCost { code: FlashBytes(136), state: RamBytes(3), stack: RamBytes(0) },
    PartCost { code: FlashBytes(232), state: RamBytes(4), stack: RamBytes(0) },
];

/// What every lean player has to send windows, and one whose areas send all cells has not; measured in the same way.
static WINDOWS: [PartCost; 2] = [
    PartCost { code: FlashBytes(552), state: RamBytes(26), stack: RamBytes(0) },
    PartCost { code: FlashBytes(676), state: RamBytes(28), stack: RamBytes(0) },
];

/// Live values that areas follow, measured in the same way: their code, what each of them takes of the state, and what each area takes more.
static LIVE: [PartCost; 2] = [
    PartCost { code: FlashBytes(504), state: RamBytes(2), stack: RamBytes(8) },
    PartCost { code: FlashBytes(324), state: RamBytes(2), stack: RamBytes(16) },
];
const LIVE_STATE: u32 = 3;
const LIVE_AREA_STATE: u32 = 2;

/// Live values that no area follows, measured in the same way: their code, and what they take of the state beside each of them.
static LIVE_ALONE: [PartCost; 2] = [
    PartCost { code: FlashBytes(178), state: RamBytes(2), stack: RamBytes(0) },
    PartCost { code: FlashBytes(168), state: RamBytes(2), stack: RamBytes(0) },
];

/// A contrast that follows a live value, measured in the same way; tests/root/live.rs measures its stack again.
static DIMS: [PartCost; 2] = [
    PartCost { code: FlashBytes(316), state: RamBytes(4), stack: RamBytes(4) },
    PartCost { code: FlashBytes(212), state: RamBytes(4), stack: RamBytes(8) },
];

/// Charts of live values, measured in the same way, without the bytes that they keep.
static HISTORY: [PartCost; 2] = [
    PartCost { code: FlashBytes(648), state: RamBytes(0), stack: RamBytes(8) },
    PartCost { code: FlashBytes(500), state: RamBytes(0), stack: RamBytes(16) },
];

/// State of each further area.
const AREA_STATE: u32 = 8;

impl PlayerCost {
    /// Code of the player with these parts.
    pub fn flash_with(&self, parts: PlayerParts) -> FlashBytes {
        let spared = self.without_windows(parts).map_or(0, |cost| cost.code.0);
        FlashBytes(self.flash.0 + self.costs(parts).map(|cost| cost.code.0).sum::<u32>() - spared)
    }

    /// Deepest stack under one call of it.
    pub fn stack_with(&self, parts: PlayerParts) -> RamBytes {
        RamBytes(self.stack.0 + self.costs(parts).map(|cost| cost.stack.0).sum::<u32>())
    }

    /// RAM of its parts: the picture's bytes, a mark for each cell with a frame of marks that are never set (of films two for each
    /// column), and their state.
    pub fn picture_ram(&self, parts: PlayerParts, panel: &Panel) -> RamBytes {
        let pages = panel.height.div_ceil(8);
        let row = panel.width.div_ceil(8) + 1;
        let marks = if parts.film { 2 * row } else { row * (pages + 2) + 1 };
        let picture = if parts.dense { panel.width * pages + marks } else { 0 };
        let lean = PlayerParts {
            changes: false,
            grains: false,
            rolls: false,
            rounds: false,
            areas: 0,
            live: 0,
            history: 0,
            dims: false,
            ..parts
        };
        let drawing = PlayerParts { beam: parts.dense && parts.beam, ..lean };
        RamBytes(picture + self.costs(drawing).map(|cost| cost.state.0).sum::<u32>())
    }

    /// State of the player without what it draws with.
    pub fn state_with(&self, parts: PlayerParts) -> RamBytes {
        let sending = PlayerParts { dense: false, film: false, beam: parts.beam && !parts.dense, ..parts };
        let spared = self.without_windows(parts).map_or(0, |cost| cost.state.0);
        RamBytes(self.state.0 + self.state_of(sending).0 - spared)
    }

    /// State of its parts, without the copy of the picture and its marks.
    pub fn state_of(&self, parts: PlayerParts) -> RamBytes {
        let more_areas = u32::from(parts.areas.saturating_sub(1));
        let (live, areas) = (u32::from(parts.live), if parts.live > 0 { u32::from(parts.areas) } else { 0 });
        let drawn = if areas > 0 { live } else { 0 };
        let state = self.costs(parts).map(|cost| cost.state.0).sum::<u32>();
        RamBytes(
            state
                + AREA_STATE * more_areas
                + LIVE_STATE * live
                + drawn
                + LIVE_AREA_STATE * areas
                + u32::from(parts.history),
        )
    }

    /// What windows take in every lean player.
    pub fn windows(&self) -> (FlashBytes, RamBytes) {
        let windows = &WINDOWS[usize::from(self.core != Core::Avr)];
        (windows.code, windows.state)
    }

    fn without_windows(&self, parts: PlayerParts) -> Option<&'static PartCost> {
        parts.areas_alone.then_some(&WINDOWS[usize::from(self.core != Core::Avr)])
    }

    fn costs(&self, parts: PlayerParts) -> impl Iterator<Item = &'static PartCost> {
        let kind = usize::from(self.core != Core::Avr);
        let beam = if parts.dense { &BEAM } else { &TURNS };
        let (noise, rolls, rounds) = ((parts.grains, &GRAINS), (parts.rolls, &ROLLS), (parts.rounds, &ROUNDS));
        let drawing = if parts.film { &FILM } else { &DENSE };
        let live = if parts.areas > 0 { &LIVE } else { &LIVE_ALONE };
        let (areas, live, dims) = ((parts.areas > 0, &AREAS), (parts.live > 0, live), (parts.dims, &DIMS));
        let history = (parts.history > 0, &HISTORY);
        let over = (parts.dense && parts.areas > 0, if parts.film { &OVER_FILM } else { &OVER_DENSE });
        let (drawing, beam, changes) = ((parts.dense, drawing), (parts.beam, beam), (parts.changes, &CHANGES));
        let costs = [drawing, beam, changes, noise, rolls, rounds, areas, over, live, history, dims];
        costs.into_iter().filter(|part| part.0).map(move |part| &part.1[kind])
    }

    /// The source in words. `measured` says whether this microcontroller itself was measured.
    pub fn evidence(&self, measured: bool) -> String {
        if measured { self.source.to_owned() } else { format!("estimated from the {}: {}", self.part, self.source) }
    }
}
