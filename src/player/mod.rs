//! The player that ships, in Rust and in C; `player.rs`, `player.c` and `player.h` are the very files that firmware gets.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    reason = "the files ship as they are: they wrap and cut bytes and words on purpose"
)]

#[path = "player.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
mod machine;

#[path = "operation.rs"]
pub(crate) mod operation;

#[path = "reel.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
mod reel;

/// The bus, and what one tick sends on it.
#[path = "bus.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
pub mod bus;

#[path = "beam.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
pub(crate) mod beam;

#[path = "canvas.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
pub(crate) mod canvas;

/// Decodes frames into the picture copy.
#[path = "dense.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
pub mod dense;

#[path = "film_canvas.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
pub(crate) mod film_canvas;

/// Decodes films into their picture copy.
#[path = "film.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
pub mod film;

#[path = "turn.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
pub(crate) mod turn;

#[path = "grain.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
pub(crate) mod grain;

#[path = "roll.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
pub(crate) mod roll;

/// Moving areas.
#[path = "area.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
pub mod area;

/// Live values.
#[path = "live.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
pub mod live;

#[path = "history.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
pub(crate) mod history;

#[path = "walk.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
mod walk;

/// Areas over a copy of the picture.
#[path = "over.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
pub mod over;

/// A contrast that follows a live value.
#[path = "dim.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
pub mod dim;

mod any;
mod silent;

#[path = "field.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
mod fields;
use machine as player;

#[path = "supervise.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
mod supervise;

#[path = "lamp.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
mod lamp;

#[path = "threshold.rs"]
#[allow(clippy::cast_lossless, reason = "the file ships as it is and must also suit 32-bit parts")]
mod threshold;

pub(crate) use any::AnyAreas;
pub use any::{Any, AnyLean, AnyPlayer, MOST_AREAS, any_player};
pub use fields::Field;
pub(crate) use fields::Shows;
pub use lamp::level as lamp_level;
pub use machine::{Bus, Extension, Player, SMALLEST_ALLOWANCE, Status, Work};
pub use reel::REEL_VERSION;
pub(crate) use silent::SilentBus;

/// Offsets in a reel's header.
pub mod header {
    pub use super::reel::{HEADER_SET_UP, HEADER_START, HEADER_TABLES};
}
pub use supervise::Supervisor;
pub use threshold::Thresholds;

/// The modules of the Rust player in the order in which they ship, each with what it is about.
const RUST_MODULES: &[(&str, &str, &str)] = &[
    ("operation", "Instructions of a reel.", include_str!("operation.rs")),
    ("reel", "Reels.", include_str!("reel.rs")),
    ("bus", "The bus.", include_str!("bus.rs")),
    ("player", "The player.", include_str!("player.rs")),
    ("beam", "A turning beam.", include_str!("beam.rs")),
    ("canvas", "The picture copy.", include_str!("canvas.rs")),
    ("dense", "Decodes frames into the picture copy.", include_str!("dense.rs")),
    ("film_canvas", "The picture copy of a film.", include_str!("film_canvas.rs")),
    ("film", "Decodes films into their picture copy.", include_str!("film.rs")),
    ("turn", "Sends the cells that the turning beam changes.", include_str!("turn.rs")),
    ("grain", "Noise.", include_str!("grain.rs")),
    ("roll", "Scrolling lines.", include_str!("roll.rs")),
    ("live", "Live values.", include_str!("live.rs")),
    ("history", "Charts of live values.", include_str!("history.rs")),
    ("area", "Moving areas.", include_str!("area.rs")),
    ("walk", "Sends the cells of areas that change.", include_str!("walk.rs")),
    ("over", "Areas over a copy of the picture.", include_str!("over.rs")),
    ("dim", "A contrast that follows a live value.", include_str!("dim.rs")),
    ("field", "Live fields.", include_str!("field.rs")),
    ("lamp", "The level of a lamp at a time.", include_str!("lamp.rs")),
    ("threshold", "Triggers that live values raise by themselves.", include_str!("threshold.rs")),
    ("supervise", "Power-up wait, reset, recovery and register refresh.", include_str!("supervise.rs")),
];

/// The files that the C player includes, in place of which their text ships.
const C_PARTS: &[(&str, &str)] = &[
    ("reel.c", include_str!("reel.c")),
    ("bus.c", include_str!("bus.c")),
    ("beam.c", include_str!("beam.c")),
    ("change.c", include_str!("change.c")),
    ("turn.c", include_str!("turn.c")),
    ("grain.c", include_str!("grain.c")),
    ("history.c", include_str!("history.c")),
    ("roll.c", include_str!("roll.c")),
    ("live.c", include_str!("live.c")),
    ("live.h", include_str!("live.h")),
    ("area.c", include_str!("area.c")),
    ("walk.c", include_str!("walk.c")),
    ("copy.c", include_str!("copy.c")),
    ("lean.c", include_str!("lean.c")),
    ("dim.c", include_str!("dim.c")),
    ("round.c", include_str!("round.c")),
    ("choice.c", include_str!("choice.c")),
    ("canvas.c", include_str!("canvas.c")),
    ("dense.c", include_str!("dense.c")),
    ("film_canvas.c", include_str!("film_canvas.c")),
    ("film.c", include_str!("film.c")),
    ("field.c", include_str!("field.c")),
    ("lamp.c", include_str!("lamp.c")),
    ("threshold.c", include_str!("threshold.c")),
    ("threshold.h", include_str!("threshold.h")),
    ("field.h", include_str!("field.h")),
    ("lamp.h", include_str!("lamp.h")),
    ("supervise.c", include_str!("supervise.c")),
    ("supervise.h", include_str!("supervise.h")),
];

/// What the files that stand beside it are called where it ships.
const C_SHIPPED: &[(&str, &str)] = &[("player.h", "pageloom_player.h"), ("config.h", "pageloom_config.h")];

/// The whole C player, for every show; which parts of it are built, its configuration says.
pub fn c_source() -> String {
    joined(include_str!("player.c"))
}

/// The C player's header.
pub fn c_header() -> String {
    joined(include_str!("player.h"))
}

/// The whole Rust player as one file of modules; what a show does not use takes no room.
pub fn rust_source() -> String {
    let mut text = String::from(
        "//! Plays shows made by pageloom on a page-ordered monochrome display. It is the same for every show, and needs `core`\n\
         //! only; `pageloom_config.rs` lists the parts that the shows of a firmware need.\n\
         #![allow(dead_code)] // firmware uses what it needs\n\
         // Bytes and words that wrap and are cut on purpose.\n\
         #![allow(clippy::cast_lossless, clippy::cast_possible_truncation)]\n\
         #![allow(clippy::cast_possible_wrap, clippy::cast_sign_loss)]\n\
         #![allow(clippy::missing_errors_doc, clippy::must_use_candidate)]\n\
         #![allow(clippy::struct_excessive_bools, clippy::verbose_bit_mask)]\n",
    );
    for (name, words, source) in RUST_MODULES {
        text.push_str(&format!("\n/// {words}\n#[rustfmt::skip]\npub mod {name} {{\n"));
        for line in source.lines() {
            text.push_str(format!("    {line}").trim_end());
            text.push('\n');
        }
        text.push_str("}\n");
    }
    text
}

/// The adapter from embedded-hal's I²C bus to the Rust player's, a file of its own that needs that crate.
pub const RUST_I2C: &str = include_str!("i2c.rs");
/// The adapter from embedded-hal's SPI device and output pin, likewise.
pub const RUST_SPI: &str = include_str!("spi.rs");
/// The adapters for 3-wire SPI, likewise.
pub const RUST_NINE_BITS: &str = include_str!("nine_bits.rs");

/// A C file with its parts in place of the lines that include them.
fn joined(text: &str) -> String {
    let mut whole = String::new();
    for line in text.lines() {
        let included = line.strip_prefix("#include \"").and_then(|rest| rest.strip_suffix('"')).unwrap_or_default();
        let part = C_PARTS.iter().find(|part| part.0 == included).map(|part| joined(part.1.trim()));
        let shipped = C_SHIPPED.iter().find(|file| file.0 == included).map(|file| format!("#include \"{}\"\n", file.1));
        whole.push_str(&part.or(shipped).unwrap_or_else(|| format!("{line}\n")));
    }
    whole
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Records each transaction as text.
    #[derive(Default)]
    struct Recorder {
        text: String,
        refuse_at: Option<usize>,
        bytes: usize,
        open: bool,
    }

    impl Bus for Recorder {
        type Error = ();
        fn start(&mut self, address: u8) -> Result<(), ()> {
            assert!(!self.open, "a transaction is open already");
            self.open = true;
            self.text.push_str(&format!("{address:02X}<"));
            Ok(())
        }
        fn write(&mut self, byte: u8) -> Result<(), ()> {
            assert!(self.open, "no transaction is open");
            self.bytes += 1;
            self.text.push_str(&format!(" {byte:02X}"));
            if self.refuse_at == Some(self.bytes) { Err(()) } else { Ok(()) }
        }
        fn stop(&mut self) -> Result<(), ()> {
            assert!(self.open, "no transaction is open");
            self.open = false;
            self.text.push_str(" >\n");
            Ok(())
        }
    }

    /// Two scenes, one trigger; 50.5 ms a frame, at most 8 bytes after the address.
    fn reel() -> Vec<u8> {
        let mut reel = vec![REEL_VERSION, 0x3C, 8, 50, 0, 128, 2, 1, 0, 17, 0, 21, 0, 42, 0, 1, 0xFE];
        reel.extend([0x06, 1, 0xAE, 0x09]); // 17: set-up
        reel.extend([0x80, 2, 0x22, 1, 2, 3, 0x45, 9, 0x05, 7, 0x00]); // 21: three bytes, six fills, cue 7, frame
        reel.extend([0x0A, 2, 24, 0, 0x07, 4, 32, 0, 0x01, 1]); // 32: copies two bytes, plays that again, two frames
        reel.extend([0x83, 0x1F, 0x61, 0x02]); // 42: two zeros, hold
        reel
    }

    #[test]
    fn a_reel_is_sent_in_transactions_within_allowance_and_write_limit() {
        let (mut bus, reel) = (Recorder::default(), reel());
        let mut player = Player::new(&reel);
        assert_eq!(player.tick(&mut bus, 1000, 0), Status::Busy);
        assert_eq!(bus.text, "3C< 00 AE >\n3C< 00 B0 02 10 >\n3C< 40 01 02 >\n");
        assert_eq!(player.tick(&mut bus, 1001, 12), Status::Cue(7));
        assert_eq!(bus.text.lines().skip(3).collect::<Vec<_>>(), ["3C< 40 03 09 09 09 09 09 09 >"]);
        assert_eq!(player.tick(&mut bus, 1002, 12), Status::Idle);
        assert_eq!(player.tick(&mut bus, 1049, 12), Status::Idle);
        assert_eq!(player.tick(&mut bus, 1050, 40), Status::Idle);
        assert_eq!(bus.text.lines().last(), Some("3C< 40 01 02 01 02 >"));
    }

    #[test]
    fn a_trigger_waits_for_the_whole_frame_and_back_returns() {
        let (mut bus, reel) = (Recorder::default(), reel());
        let mut player = Player::new(&reel);
        assert_eq!(player.tick(&mut bus, 0, 12), Status::Busy);
        player.trigger(0);
        assert_eq!(player.tick(&mut bus, 1, 40), Status::Cue(7));
        assert_eq!(player.tick(&mut bus, 2, 40), Status::Idle);
        assert_eq!(player.scene(), 1);
        assert!(bus.text.ends_with("3C< 00 B3 0F 11 >\n3C< 40 00 00 >\n"), "{}", bus.text);
        player.trigger(0);
        player.tick(&mut bus, 3, 40);
        assert_eq!(player.scene(), 0);
    }

    #[test]
    fn a_refused_byte_is_a_fault_until_the_restart_at_every_byte() {
        let reel = reel();
        for refuse_at in 1..=16 {
            let mut bus = Recorder { refuse_at: Some(refuse_at), ..Recorder::default() };
            let mut player = Player::new(&reel);
            let fault = (0..9).any(|now| player.tick(&mut bus, now, 12) == Status::Fault);
            assert!(fault && !bus.open, "refused at {refuse_at}");
            assert_eq!(player.tick(&mut bus, 9, 12), Status::Fault);
            player.restart();
            assert_eq!(player.tick(&mut bus, 10, 40), Status::Cue(7));
        }
    }

    #[test]
    fn the_c_player_ships_whole_and_includes_nothing_beside_it_but_its_header() {
        let whole = c_source() + &c_header();
        let included: Vec<&str> = whole.lines().filter(|line| line.starts_with("#include \"")).collect();
        assert_eq!(included, ["#include \"pageloom_player.h\"", "#include \"pageloom_config.h\""]);
        for (name, text) in C_PARTS {
            let last = text.trim_end().lines().last().unwrap_or_default();
            assert!(whole.contains(last), "{name}");
        }
    }

    /// The bearing is the angle of the standard arc tangent in 1/256 of a turn, to within one.
    #[test]
    fn bearings_are_those_of_the_arc_tangent() {
        for (x, y) in (-127i16..=127).flat_map(|x| (-63i16..=63).map(move |y| (x, y))).filter(|place| *place != (0, 0))
        {
            let turns = libm::atan2(f64::from(x), f64::from(-y)) / std::f64::consts::TAU;
            let off = (turns * 256.0 - f64::from(beam::bearing(x, y)) + 128.0).rem_euclid(256.0) - 128.0;
            assert!(off.abs() <= 1.0, "{x}, {y} is {off} bearings off");
        }
    }

    /// A beam looks the same on a display that stands on its side: what is turned by a quarter has a bearing of a quarter more.
    #[test]
    fn bearings_turn_with_the_glass() {
        let places = (-127i16..=127).flat_map(|x| (-127i16..=127).map(move |y| (x, y)));
        for (x, y) in places.filter(|place| *place != (0, 0)) {
            assert_eq!(beam::bearing(-y, x), beam::bearing(x, y).wrapping_add(64), "{x}, {y}");
            assert_eq!(beam::bearing(-x, y), beam::bearing(x, y).wrapping_neg(), "{x}, {y}");
        }
    }

    /// What the C player computes with: half the bearings that a pixel of the line is off its direction, times its columns off
    /// the centre, are never more than twelve (`WIDEST_LINE` in beam.c).
    #[test]
    fn no_pixel_of_the_line_is_far_off_its_direction() {
        let line = beam::Beam { column: 0, row: 0, reach: 0, mirrored: false, limits: [0; 16] };
        let places = (-120i16..=120).flat_map(|x| (-64i16..=64).map(move |y| (x, y)));
        let widest = |(x, y): (i16, i16)| {
            let off = |direction: u8| (direction.wrapping_sub(beam::bearing(x, y)) as i8).unsigned_abs() as u16 / 2;
            let passed = (0..=u8::MAX).filter(|direction| line.passes(x, y, *direction)).map(off);
            passed.max().unwrap_or(0) * x.unsigned_abs()
        };
        assert_eq!(places.map(widest).max(), Some(12));
    }

    /// A beam without a trail is a line from the centre to its end: no pixel is more than half a pixel and a bit off it.
    #[test]
    fn a_beam_is_a_straight_line_without_gaps() {
        let line = beam::Beam { column: 0, row: 0, reach: 30 * 30, mirrored: false, limits: [0; 16] };
        for direction in 0..=u8::MAX {
            let angle = f64::from(direction) / 256.0 * std::f64::consts::TAU;
            let places = (-30i16..=30).flat_map(|x| (-30i16..=30).map(move |y| (x, y)));
            let lit: Vec<(i16, i16)> = places.filter(|(x, y)| line.lights(*x, *y, direction)).collect();
            let aside = |(x, y): &(i16, i16)| f64::from(*x) * libm::cos(angle) + f64::from(*y) * libm::sin(angle);
            assert!(lit.iter().all(|place| aside(place).abs() < 0.8), "towards {direction}: {lit:?}");
            for far in 0..=21 {
                assert!(lit.iter().any(|(x, y)| x.abs().max(y.abs()) == far), "towards {direction}: a gap at {far}");
            }
        }
    }

    #[test]
    fn the_state_is_small_enough_for_the_smallest_part() {
        let pointers = size_of::<&[u8]>() - 2 * size_of::<u32>();
        assert!(size_of::<Player<'_>>() - pointers <= 64);
    }

    proptest::proptest! {
        #[test]
        fn no_reel_makes_the_player_panic_or_leave_the_bus_open(body in proptest::collection::vec(0u8.., 0..200)) {
            let mut reel = vec![REEL_VERSION, 0x3C, 8];
            reel.extend(body);
            let mut player = Player::new(&reel);
            let mut bus = Recorder::default();
            for now in 0..50 {
                player.trigger((now % 3) as u8);
                player.tick(&mut bus, now * 20, 12);
                assert!(!bus.open);
            }
        }
    }
}
