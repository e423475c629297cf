//! Live values: whatever firmware sets and whenever, the display shows what the renderer draws for it; the same bytes from C, from
//! Rust and from the simulated part.

use super::fields::printed;
use super::firmware::measured::row;
use super::firmware::shows::write_sources;
use super::firmware::simulator::{PLAYER, build_avr, simulate};
use super::firmware::tools::{root, workshop};
use pageloom::budget::compile as compile_reel;
use pageloom::diag::{Findings, render};
use pageloom::emit::{Firmware, FirmwareLive};
use pageloom::emulator::Emulator;
use pageloom::player::{AnyPlayer, Bus, Status, any_player};
use pageloom::reel::{Reel, compile_as_film, compile_densely};
use pageloom::render::{Bitmap, draw_in_state};
use pageloom::show::{LiveState, Show, load};
use pageloom::source::{Disk, Reader};
use proptest::prelude::*;
use std::path::Path;

type Compile = fn(&Show, &[Vec<Bitmap>], &mut Findings) -> Option<Reel>;

/// A script, what its firmware is called, and how it is compiled. Each has a scene that repeats and one that holds, from one to the other
/// by its first trigger.
const SHOWS: [(&str, &str, Compile); 7] = [
    ("tests/cases/good/live.ron", "live", compile_reel),
    ("tests/cases/good/night.ron", "night", compile_reel),
    ("tests/cases/good/charts.ron", "charts", compile_reel),
    ("tests/cases/good/charts-turned.ron", "charts-turned", compile_reel),
    ("tests/cases/good/text.ron", "text", compile_reel),
    ("tests/cases/good/over-copy.ron", "over-copy", compile_densely),
    ("tests/cases/good/over-copy.ron", "over-film", compile_as_film),
];
/// Milliseconds of a frame of the show.
const FRAME: u16 = 50;

fn built((script, _, compile): (&str, &str, Compile)) -> (Show, Reel) {
    let (mut reader, mut findings) = (Reader::new(&Disk), Findings::default());
    let show = load(&mut reader, Path::new(script), &mut findings);
    let show = show.unwrap_or_else(|| panic!("{}", render(&findings, &reader.sources, false)));
    let frames = pageloom::render::render(&show);
    let reel = compile(&show, &frames, &mut findings);
    let reel = reel.unwrap_or_else(|| panic!("{}", render(&findings, &reader.sources, false)));
    (show, reel)
}

/// A display that refuses a byte now and then, and keeps what it was sent in words.
struct Display {
    text: String,
    refuse_in: u32,
    model: Emulator,
}

impl Display {
    fn new(show: &Show) -> Self {
        Self { text: String::new(), refuse_in: 0, model: Emulator::new(show.panel()) }
    }

    fn sent(&mut self) -> Result<(), ()> {
        self.refuse_in = self.refuse_in.wrapping_sub(u32::from(self.refuse_in > 0));
        if self.refuse_in == 1 { Err(()) } else { Ok(()) }
    }
}

impl Bus for Display {
    type Error = ();
    fn start(&mut self, address: u8) -> Result<(), ()> {
        self.model.start(address);
        self.text.push_str(&format!("{address:02X}<"));
        self.sent()
    }
    fn write(&mut self, byte: u8) -> Result<(), ()> {
        self.model.write(byte);
        self.text.push_str(&format!(" {byte:02X}"));
        self.sent()
    }
    fn stop(&mut self) -> Result<(), ()> {
        self.model.stop();
        self.text.push_str(" >\n");
        Ok(())
    }
}

/// What happens to a player at a frame.
#[derive(Clone, Debug)]
struct Moment {
    /// Set before the frame begins, and while it is sent: number and value.
    before: Vec<(usize, i16)>,
    during: Vec<(usize, i16)>,
    trigger: bool,
    /// The byte that is refused; 0 for none.
    refused: u32,
    allowance: u8,
}

fn moment() -> impl Strategy<Value = Moment> {
    let sets = || prop::collection::vec((0usize..8, -100i16..200), 0..3);
    let trigger = prop::bool::weighted(0.05);
    let refused = prop_oneof![9 => Just(0u32), 1 => 2u32..60];
    (sets(), sets(), trigger, refused, 12u8..100).prop_map(|(before, during, trigger, refused, allowance)| Moment {
        before,
        during,
        trigger,
        refused,
        allowance,
    })
}

/// A player with the values that were set, and the place that it must be at.
struct Course<'a> {
    show: &'a Show,
    player: AnyPlayer<'a>,
    display: Display,
    values: Vec<i16>,
    scene: usize,
    frame: u32,
    /// For how many frames the last one has been held.
    held: u32,
    /// What the layers may be drawn from: a fault may come before charts record their values, or after.
    states: Vec<LiveState>,
    now: u16,
    states_before: Vec<LiveState>,
    /// Whether the display is set up, so that a call begins with the frame that is due.
    is_set_up: bool,
}

impl Course<'_> {
    fn set(&mut self, sets: &[(usize, i16)]) {
        for (number, value) in sets {
            let number = number % self.values.len();
            self.player.keeps().set(number, *value);
            self.values[number] = *value;
        }
    }

    /// Plays a frame to its end; what is set meanwhile waits for the next one.
    fn play(&mut self, moment: &Moment) {
        let steps = |values: &[i16]| -> Vec<u8> {
            self.show.live().iter().zip(values).map(|(live, value)| live.step(*value)).collect()
        };
        let mut wanted = steps(&self.values);
        self.begin_frame(&wanted);
        self.display.refuse_in = moment.refused;
        let mut during = Some(&moment.during).filter(|_| self.is_set_up);
        self.is_set_up = true;
        loop {
            match self.player.tick(&mut self.display, self.now, moment.allowance) {
                Status::Busy | Status::Cue(_) => {
                    if let Some(sets) = during.take() {
                        self.set(sets);
                    }
                }
                Status::Fault => {
                    // Set up anew, the scene begins again with the values as they are by then.
                    self.player.restart();
                    (self.frame, self.held, wanted) = (0, 0, steps(&self.values));
                    let before = std::mem::take(&mut self.states_before);
                    self.states.extend(before);
                    self.begin_frame(&wanted);
                    during = None;
                }
                Status::Idle => break,
            }
        }
        let shown = self.display.model.as_mounted(self.show.mounting());
        let drawn = |state: &LiveState| draw_in_state(self.show, &self.show.scenes()[self.scene], self.frame, state);
        let drawn: Vec<_> = self.states.iter().map(drawn).collect();
        let scene = &self.show.scenes()[self.scene];
        let name = &scene.name;
        let seconds = self.show.frame_rate().seconds_at(self.frame);
        let contrast = scene.contrast.at_steps().map(|(value, contrasts)| contrasts[usize::from(wanted[value.0])]);
        assert_eq!(self.display.model.contrast(), contrast.unwrap_or_else(|| scene.contrast_at(seconds)), "{name}");
        let known: Vec<bool> = drawn.iter().map(|drawn| *drawn == shown).collect();
        if !known.contains(&true) {
            assert_eq!(shown.to_string(), drawn[0].to_string(), "scene {name}, frame {}, steps {wanted:?}", self.frame);
        }
        let mut known = known.into_iter();
        self.states.retain(|_| known.next() == Some(true));
    }

    /// The values of a frame are taken up, and recorded by the charts of its scene when it is time.
    fn begin_frame(&mut self, steps: &[u8]) {
        self.states_before = self.states.clone();
        for state in &mut self.states {
            state.steps = steps.to_vec();
            self.show.record(&self.show.scenes()[self.scene], self.frame + self.held, state);
        }
    }

    /// On to the next frame.
    fn go_on(&mut self, trigger: bool) {
        self.now = self.now.wrapping_add(FRAME);
        let frames = self.show.scenes()[self.scene].frames.0;
        if trigger {
            self.player.trigger(0);
            (self.scene, self.frame, self.held) = (1 - self.scene, 0, 0);
        } else if self.scene == 0 {
            self.frame = (self.frame + 1) % frames;
        } else if self.frame + 1 < frames {
            self.frame += 1;
        } else {
            self.held += 1;
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn the_display_shows_what_the_renderer_draws_for_any_values(
        moments in prop::collection::vec(moment(), 100),
        show in 0..SHOWS.len(),
    ) {
        use std::sync::LazyLock;
        static BUILT: LazyLock<[(Show, Reel); SHOWS.len()]> = LazyLock::new(|| SHOWS.map(built));
        let (show, reel) = &BUILT[show];
        let values = show.live().iter().map(|live| live.start).collect();
        let (player, display) = (any_player(&reel.bytes), Display::new(show));
        let mut course = Course {
            show,
            player,
            display,
            values,
            scene: 0,
            frame: 0,
            held: 0,
            states: vec![show.first_state()],
            states_before: Vec::new(),
            now: 7,
            is_set_up: false,
        };
        for moment in &moments {
            course.set(&moment.before);
            course.play(moment);
            course.go_on(moment.trigger);
        }
    }
}

/// The schedule of `tests/firmware/live.c`.
fn by_schedule(show: &Show, reel: &Reel) -> String {
    let (mut player, mut display) = (any_player(&reel.bytes), Display::new(show));
    let mut lot = 1u16;
    let mut draw = || {
        lot = lot.wrapping_mul(25_173).wrapping_add(13_849);
        lot >> 4
    };
    for step in 0..2000u32 {
        if draw().is_multiple_of(8) {
            let live = usize::from(draw()) % show.live().len();
            player.keeps().set(live, (draw() % 200) as i16 - 60);
        }
        if step % 701 == 600 {
            player.trigger(0);
        }
        player.tick(&mut display, (64_000 + step * 5) as u16, 16);
    }
    display.text
}

fn firmware(show: &Show, reel: &Reel, name: &str) -> Firmware {
    let live = show.live().iter().map(|live| FirmwareLive {
        name: live.name.clone(),
        lowest: live.from,
        highest: live.to,
        start: live.start,
    });
    Firmware {
        name: name.into(),
        reel: reel.bytes.clone(),
        scenes: show.scenes().iter().map(|scene| scene.name.clone()).collect(),
        triggers: show.triggers().to_vec(),
        live: live.collect(),
        parts: reel.parts,
        picture: reel.parts.dense.then(|| (show.panel().width, show.panel().height.div_ceil(8))),
        ..Firmware::default()
    }
}

#[test]
fn an_atmega328p_sends_the_same_bytes_for_the_same_values() {
    SHOWS.into_iter().for_each(require_same_bytes);
}

fn require_same_bytes(of: (&str, &str, Compile)) {
    let ((show, reel), stem) = (built(of), of.1);
    let folder = workshop(&format!("{stem}-atmega328p"));
    write_sources(&[firmware(&show, &reel, "helm")], &folder);
    let example = root().join("examples/atmega328p");
    let sources =
        [root().join("tests/firmware/live.c"), example.join("bus.c"), folder.join("helm.c"), folder.join(PLAYER)];
    let built = build_avr(&folder, &format!("-mmcu=atmega328p -DF_CPU=16000000UL -I{}", example.display()), &sources);
    let run = simulate(&built, &format!("-w {} -p pageloom_tick", show.bus().write_limit)).good();
    let (found, expected) = (printed(&run), by_schedule(&show, &reel));
    let parted = found.lines().zip(expected.lines()).position(|(found, expected)| found != expected);
    let lines = [found.lines().count(), expected.lines().count()];
    assert!(found == expected, "{stem}: the part and Rust differ at line {parted:?} of {lines:?}");
    let figure = |name: &str| run.figure(&format!("FUNCTION pageloom_tick {name}"));
    // The return address is not in what the simulator counts.
    let predicted = row("ATmega328P").stack_with(reel.parts).0;
    let measured = figure("stack") + 2;
    assert!(measured <= predicted.into(), "{stem}: {measured} bytes of stack, but {predicted} predicted");
    println!("{stem}: longest call {} cycles, {} on the wire", figure("most"), figure("most_wire"));
}
