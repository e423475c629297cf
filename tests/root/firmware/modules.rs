//! Real modules: one that is not ready at once, is unplugged and found again, loses its supply, forgets a register, holds the data line,
//! or never acknowledges, on the simulated parts and on the controller model.

use super::super::chance::Chance;
use super::examples::{ATTINY85, FAULT, PHASE, WATCHED, watched, whole_pictures};
use super::shows::{self, TestShow};
use super::simulator::{Event, Run, build_example, simulate};
use pageloom::emulator::Emulator;
use pageloom::player::{Bus, Status, Supervisor, any_player};
use std::path::PathBuf;

const CYCLES_A_MILLISECOND: u64 = 8_000;
const MEGAHERTZ_16: u64 = 16_000;

/// Numbers from a range, which differ from seed to seed.
fn random(seed: u64, range: std::ops::Range<u64>) -> impl Iterator<Item = u64> {
    let mut chance = Chance::of(seed);
    std::iter::from_fn(move || Some(range.start + chance.next() % (range.end - range.start)))
}

fn beacon(show: &TestShow) -> PathBuf {
    build_example("attiny85", show, "beacon", "-mmcu=attiny85 -DF_CPU=8000000UL")
}

fn play_beacon(show: &TestShow, seconds: u64, inputs: &str) -> Run {
    let cycles = seconds * 1000 * CYCLES_A_MILLISECOND;
    simulate(&beacon(show), &format!("{ATTINY85} -x {cycles} {WATCHED} {inputs}")).good()
}

/// How many frames were whole after an event, counted by the cycle.
fn whole_after(run: &Run, cycle: u64) -> usize {
    let whole = |(at, event): &&(u64, Event)| *at > cycle && matches!(event, Event::Watch(PHASE, 3 | 4));
    run.events.iter().filter(whole).count()
}

/// SSD1315 data sheet Rev 1.1 §6.9.2: 20 ms at least from the supply to the first command; the row says 100.
#[test]
fn nothing_is_sent_before_the_module_can_listen_and_the_loop_goes_on_meanwhile() {
    let run = play_beacon(&shows::beacon(), 1, "");
    let first = run.events.iter().find(|(_, event)| matches!(event, Event::Start(..))).expect("it is set up").0;
    assert!((100..=103).contains(&(first / CYCLES_A_MILLISECOND)), "the first START comes at cycle {first}");
}

#[test]
fn the_display_goes_on_only_when_its_memory_was_written() {
    let show = shows::beacon();
    let run = play_beacon(&show, 1, "");
    let mut display = Emulator::new(&show.panel);
    let mut lit_by_noise = false;
    for (_, event) in &run.events {
        match *event {
            Event::Start(address, true) => drop(display.start(address)),
            Event::Byte(byte, true) => drop(display.write(byte)),
            Event::Stop => display.stop(),
            _ => {}
        }
        let known = |picture| show.scenes[0].frames.contains(&picture) || show.scenes[0].live.contains(&picture);
        lit_by_noise |= display.is_on() && !known(display.as_mounted(&show.mounting)) && run.figure("BUS refused") > 0;
    }
    assert!(display.is_on() && !lit_by_noise);
}

#[test]
fn an_unplugged_display_is_found_again_with_a_whole_picture() {
    let show = shows::beacon();
    // At random times of each 1.6 s, for 0.2 to 0.6 s; what comes back knows nothing and shows noise.
    let gone = random(18, 300 * CYCLES_A_MILLISECOND..900 * CYCLES_A_MILLISECOND);
    let times: Vec<(u64, u64)> = gone
        .zip(random(8, 200 * CYCLES_A_MILLISECOND..600 * CYCLES_A_MILLISECOND))
        .zip(0..4)
        .map(|((gone, lasts), number)| (number * 1_600 * CYCLES_A_MILLISECOND + gone, lasts))
        .map(|(gone, lasts)| (gone, gone + lasts))
        .collect();
    let at = |(gone, back): &(u64, u64)| format!("-i c{gone}:absent -i c{back}:present ");
    let run = play_beacon(&show, 8, &times.iter().map(at).collect::<String>());
    let faults = watched(&run, PHASE).iter().filter(|phase| **phase == FAULT).count();
    assert!(faults >= times.len(), "{faults} faults");
    assert!(whole_pictures(&show, &run).iter().map(|seen| seen.whole).sum::<usize>() > 20);
    assert!(whole_after(&run, 6_600 * CYCLES_A_MILLISECOND) > 3, "it plays on in the end");
}

#[test]
fn the_peripheral_of_an_atmega328p_finds_its_display_again_too() {
    let show = shows::helm();
    let firmware = build_example("atmega328p", &show, "helm", "-mmcu=atmega328p -DF_CPU=16000000UL");
    let idle = "-i c0:D2=1 -i c0:D3=0 -i c0:D4=1";
    let gone = format!("-i c{}:absent -i c{}:present", 901 * MEGAHERTZ_16 + 5, 1_403 * MEGAHERTZ_16);
    let run = simulate(&firmware, &format!("-e -x 48000000 {WATCHED} {idle} {gone}")).good();
    assert!(watched(&run, PHASE).contains(&FAULT));
    whole_pictures(&show, &run);
    assert!(whole_after(&run, 1_600 * MEGAHERTZ_16) > 2);
}

/// UM10204 Rev 7.0 §3.1.16: a device that holds the data line lets go within nine clocks.
#[test]
fn a_data_line_that_is_held_is_freed_by_clocks() {
    let show = shows::beacon();
    // In random bytes, for as many clocks as it takes to get free at once, or not.
    let bytes = random(3, 0..120).zip(random(1, 5..14)).zip([30, 160, 290, 420]);
    let held: String = bytes.map(|((byte, clocks), from)| format!("-i b{}:stuck={clocks} ", from + byte)).collect();
    let run = play_beacon(&show, 4, &held);
    let faults = watched(&run, PHASE).iter().filter(|phase| **phase == FAULT).count();
    assert!(faults >= 4, "{faults} faults");
    whole_pictures(&show, &run);
    assert!(whole_after(&run, 2_500 * CYCLES_A_MILLISECOND) > 5);
}

#[test]
fn a_module_that_never_acknowledges_plays_where_the_script_says_so() {
    let mute = "-i c0:mute";
    let strict = play_beacon(&shows::beacon(), 1, mute);
    assert!(watched(&strict, PHASE).contains(&FAULT), "else every byte must be acknowledged");
    let show = TestShow { unacknowledged: true, ..shows::beacon() };
    let run = play_beacon(&show, 2, mute);
    assert!(!watched(&run, PHASE).contains(&FAULT));
    assert!(whole_pictures(&show, &run)[0].whole > 5);
    let helm = TestShow { unacknowledged: true, ..shows::helm() };
    let firmware = build_example("atmega328p", &helm, "helm", "-mmcu=atmega328p -DF_CPU=16000000UL");
    let run = simulate(&firmware, &format!("-e -x 24000000 {WATCHED} {mute}")).good();
    assert!(!watched(&run, PHASE).contains(&FAULT) && whole_pictures(&helm, &run)[0].whole > 5);
}

/// A display of the model that counts its resets.
struct Module {
    display: Emulator,
    resets: u32,
}

impl Bus for Module {
    type Error = ();
    fn start(&mut self, address: u8) -> Result<(), ()> {
        if self.display.start(address) { Ok(()) } else { Err(()) }
    }
    fn write(&mut self, byte: u8) -> Result<(), ()> {
        if self.display.write(byte) { Ok(()) } else { Err(()) }
    }
    fn stop(&mut self) -> Result<(), ()> {
        self.display.stop();
        Ok(())
    }
    fn reset(&mut self) {
        self.resets += 1;
    }
}

/// Plays the first scene for some seconds with the set-up sent again each second; `spoil` may do harm each millisecond. Counts the
/// idle calls at which the display showed one of the scene's frames, and those at which it did not.
fn refreshed(show: &TestShow, seconds: u32, mut spoil: impl FnMut(u32, &mut Emulator)) -> (u32, u32, Module) {
    let mut module = Module { display: Emulator::new(&show.panel), resets: 0 };
    let (mut player, mut supervisor) = (any_player(&show.reel), Supervisor::new(&show.display));
    supervisor.every = 1;
    let (mut right, mut wrong) = (0, 0);
    for now in 0..seconds * 1000 {
        spoil(now, &mut module.display);
        while matches!(supervisor.tick(&mut player, &mut module, now as u16, 16), Status::Busy | Status::Cue(_)) {}
        if now < 200 {
            continue; // the wait, and the first picture
        }
        let picture = module.display.as_mounted(&show.mounting);
        let known = show.scenes.iter().any(|scene| scene.frames.contains(&picture));
        *(if known { &mut right } else { &mut wrong }) += 1;
    }
    (right, wrong, module)
}

#[test]
fn the_set_up_that_is_sent_again_does_not_flicker() {
    for show in [
        shows::helm(),
        shows::turning(),
        shows::rolling(),
        shows::passing_by(),
        shows::flickering(),
        shows::going_round(),
    ] {
        let (right, wrong, module) = refreshed(&show, 12, |_, _| {});
        assert_eq!(module.display.faults(), [], "{}", show.name);
        assert!(wrong == 0 && right > 10_000, "{}: {wrong} of {right}", show.name);
        assert_eq!(module.resets, 1);
    }
}

/// Registers that a spark may spoil, as commands of the SSD1306 data sheet Rev 1.5 Table 9-1.
#[test]
fn a_spoilt_register_is_put_right_by_the_next_set_up() {
    const SPOILS: [&[u8]; 8] =
        [&[0xA8, 0x12], &[0xD3, 0x1B], &[0xA5], &[0xDA, 0x02], &[0x8D, 0x10], &[0x55], &[0xA7], &[0xAE]];
    let show = shows::turning();
    for spoil in SPOILS {
        let mut spoilt = 0;
        let (_, wrong, module) = refreshed(&show, 9, |now, display| {
            if now == 3_456 {
                display.start(0x3C);
                display.write(0x00);
                spoil.iter().for_each(|byte| assert!(display.write(*byte)));
                display.stop();
                spoilt = now;
            }
        });
        assert!(spoilt > 0 && wrong < 1_200, "{spoil:02X?}: wrong for {wrong} ms");
        let picture = module.display.as_mounted(&show.mounting);
        assert!(show.scenes.iter().any(|scene| scene.frames.contains(&picture)), "{spoil:02X?}\n{picture}");
    }
}

/// What the display shows whenever a frame is whole, where it forgets registers: the cycles at which that is none of the scene's frames.
fn wrong_pictures(show: &TestShow, run: &Run, mut spoils: Vec<(u64, &[u8])>) -> Vec<u64> {
    let (mut display, mut scene, mut wrong) = (show.display_on_the_bus(), show.start, Vec::new());
    for &(cycle, event) in &run.events {
        match event {
            Event::Start(address, true) => drop(display.start(address)),
            Event::Byte(byte, true) => drop(display.write(byte)),
            Event::Stop => {
                display.stop();
                for (_, spoil) in spoils.extract_if(.., |(at, _)| *at <= cycle) {
                    display.start(0x3C);
                    display.write(0x00);
                    spoil.iter().for_each(|byte| assert!(display.write(*byte)));
                    display.stop();
                }
            }
            Event::Watch(0, entered) => scene = usize::from(entered),
            Event::Watch(PHASE, 3 | 4) => {
                let picture = display.as_mounted(&show.mounting);
                let known = &show.scenes[scene];
                if !known.live.contains(&picture) && !known.frames.contains(&picture) {
                    wrong.push(cycle);
                }
            }
            _ => {}
        }
    }
    wrong
}

/// The example sends the set-up again every ten seconds.
#[test]
fn the_part_puts_registers_right_that_the_display_forgets_at_random_times() {
    const EVERY_MILLISECONDS: u64 = 10_000;
    /// The wait, and the time in which the groups are sent, one between two frames.
    const SENT_MILLISECONDS: u64 = 1_500;
    let show = shows::beacon();
    let run = play_beacon(&show, 24, "");
    let forgotten: [&[u8]; 6] = [&[0xD3, 0x1B], &[0xA8, 0x12], &[0xA5], &[0xDA, 0x02], &[0x55], &[0xA7]];
    let times = random(21, 1_000..EVERY_MILLISECONDS - SENT_MILLISECONDS);
    for (at, register) in times.zip(forgotten) {
        let second = at + EVERY_MILLISECONDS;
        let spoils = [at, second].map(|at| (at * CYCLES_A_MILLISECOND, register)).to_vec();
        let wrong: Vec<u64> = wrong_pictures(&show, &run, spoils).iter().map(|at| at / CYCLES_A_MILLISECOND).collect();
        assert!(wrong.iter().any(|now| *now < EVERY_MILLISECONDS), "{register:02X?}: it is forgotten at {at} ms");
        let sent = |now: u64| now % EVERY_MILLISECONDS < SENT_MILLISECONDS;
        let late = wrong.iter().find(|now| **now < at || !sent(**now) && (EVERY_MILLISECONDS..second).contains(*now));
        assert_eq!(late, None, "{register:02X?}, forgotten at {at} ms and {second} ms");
        assert!(
            wrong.iter().all(|now| *now < 2 * EVERY_MILLISECONDS + SENT_MILLISECONDS),
            "{register:02X?}: {wrong:?}"
        );
    }
}
