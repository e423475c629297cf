//! A depth gauge in Rust: a sensor sets a live value, and a threshold starts a warning. You can use `Gauge` in firmware without
//! changes. `cargo run --example depth_gauge` runs it without hardware, on a simulated display.
//!
//! For firmware, `pageloom build examples/depth_gauge.ron` writes `gauge.rs` and the files of the player. Then
//! `gauge::show_player(&LIVE)`, `gauge::LIVE_LIMITS` and `gauge::THRESHOLDS` replace what is compiled below. `static LIVE:
//! config::LiveValues = config::LiveValues::new(&gauge::LIVE_LIMITS);` can be set from an interrupt.
#![allow(clippy::cast_possible_truncation, reason = "the clock wraps after 16 bits")]

use pageloom::diag::Findings;
use pageloom::emulator::Emulator;
use pageloom::player::area::Areas;
use pageloom::player::live::{LiveValues, Watched};
use pageloom::player::{Bus, MOST_AREAS, Player, Status, Thresholds};
use pageloom::show::Show;
use std::path::Path;

/// Bytes on the bus in one pass of the loop.
const ALLOWANCE: u8 = 32;
/// Number of the live value; `gauge::Live::Depth as usize` in firmware.
const DEPTH: usize = 0;
/// Pressure of a decimetre of fresh water at 4 °C, and of the air above it, in pascals. A real gauge measures the air before a
/// dive.
const PASCALS_A_DECIMETRE: i32 = 981;
const AIR_PASCALS: i32 = 101_325;

/// Areas that follow one live value.
type Following = Areas<MOST_AREAS, Watched<Option<&'static LiveValues<1>>, MOST_AREAS, 1>>;

/// The player with its live value and its thresholds.
pub struct Gauge<'a> {
    player: Player<'a, Following>,
    live: &'static LiveValues<1>,
    thresholds: Thresholds<'a>,
}

impl<'a> Gauge<'a> {
    /// A gauge that plays `reel` and raises triggers by `thresholds` as `live` changes.
    pub const fn new(reel: &'a [u8], thresholds: &'a [u8], live: &'static LiveValues<1>) -> Self {
        let player = Player::keeping(reel, Areas::following(Watched::new(Some(live))));
        Self { player, live, thresholds: Thresholds::new(thresholds) }
    }

    /// Sets the depth from a reading of the sensor in pascals.
    pub fn measured(&self, pascals: i32) {
        let decimetres = (pascals - AIR_PASCALS) / PASCALS_A_DECIMETRE;
        self.live.set(DEPTH, i16::try_from(decimetres.max(0)).unwrap_or(i16::MAX));
    }

    /// One pass of the main loop. `now` is a clock in milliseconds that may wrap.
    pub fn turn<B: Bus>(&mut self, bus: &mut B, now: u16) -> Status {
        let (live, player) = (self.live, &mut self.player);
        self.thresholds.watch(|number| live.get(number.into()), |trigger| player.trigger(trigger));
        let status = player.tick(bus, now, ALLOWANCE);
        if status == Status::Fault {
            player.restart(); // the depth stays as it is
        }
        status
    }

    /// The number of the scene that plays.
    pub fn scene(&self) -> u8 {
        self.player.scene()
    }
}

/// The simulated display as a bus.
pub struct Display(pub Emulator);

impl Bus for Display {
    type Error = ();
    fn start(&mut self, address: u8) -> Result<(), ()> {
        if self.0.start(address) { Ok(()) } else { Err(()) }
    }
    fn write(&mut self, byte: u8) -> Result<(), ()> {
        if self.0.write(byte) { Ok(()) } else { Err(()) }
    }
    fn stop(&mut self) -> Result<(), ()> {
        self.0.stop();
        Ok(())
    }
}

/// The show and its reel.
pub fn compiled() -> (Show, Vec<u8>) {
    let mut findings = Findings::default();
    let mut reader = pageloom::source::Reader::new(&pageloom::source::Disk);
    let script = Path::new("examples/depth_gauge.ron");
    let show = pageloom::show::load(&mut reader, script, &mut findings).expect("run this in the project's folder");
    let frames = pageloom::render::render(&show);
    let reel = pageloom::budget::compile(&show, &frames, &mut findings).expect("the show fits");
    (show, reel.bytes)
}

/// For each live value, the lowest, the highest and the start value; `gauge::LIVE_LIMITS` in firmware.
static LIMITS: [[i16; 3]; 1] = [[0, 400, 0]];

/// Dives to a depth in metres for each second. Returns scene and picture at the end of each second.
pub fn dive(metres: &[u8]) -> Vec<(u8, String)> {
    static LIVE: LiveValues<1> = LiveValues::new(&LIMITS);
    let (show, reel) = compiled();
    let mut display = Display(Emulator::new(show.panel()));
    let mut gauge = Gauge::new(&reel, show.threshold_table(), &LIVE);
    let mut seen = Vec::new();
    for (second, metres) in metres.iter().enumerate() {
        gauge.measured(AIR_PASCALS + PASCALS_A_DECIMETRE * 10 * i32::from(*metres));
        for millisecond in 0..1000 {
            let now = (second * 1000 + millisecond) as u16;
            while gauge.turn(&mut display, now) == Status::Busy {}
        }
        seen.push((gauge.scene(), display.0.as_mounted(show.mounting()).to_string()));
    }
    seen
}

fn main() {
    for (scene, picture) in dive(&[0, 12, 26, 22]) {
        println!("scene {scene}\n{picture}");
    }
}
