//! Both players, each driven by the same lines and printing the same text, so that they can be held against each other.

use super::tools::{compile, root, run, workshop};
use pageloom::player::{AnyLean, Bus, Extension, Player, Status};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::PathBuf;
use std::sync::Mutex;

/// One line of a script for a player.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Action {
    /// One call: the clock in milliseconds and the allowance in bytes.
    Tick(u16, u8),
    /// Raises a trigger.
    Trigger(u8),
    /// Sets a live value.
    Set(u8, i16),
    /// Sets up anew.
    Restart,
    /// The so-manieth byte from here is refused, addresses counted.
    Refuse(u16),
    /// The next stop reports a refused byte.
    FailStop,
}

/// Which reels a player is built for; dense ones with the columns and pages of their copy of the picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Build {
    Lean,
    Dense(u32, u32),
    /// Films, with the columns and pages of their copy of the picture.
    Film(u32, u32),
    /// Reels of all kinds.
    Chain(u32, u32),
    /// Reels whose areas send all cells.
    AreasAlone,
}

/// The C player on this machine, built so that reading beyond the reel and undefined arithmetic end the program.
fn program(build: Build) -> PathBuf {
    static PROGRAMS: Mutex<BTreeMap<Build, PathBuf>> = Mutex::new(BTreeMap::new());
    let mut programs = PROGRAMS.lock().expect("no test fails while it builds");
    programs.entry(build).or_insert_with(|| compiled(build)).clone()
}

fn compiled(build: Build) -> PathBuf {
    let player = root().join("src/player");
    let (mut words, mut stem) = (
        String::from(
            "-DPAGELOOM_CHANGES -DPAGELOOM_BEAM -DPAGELOOM_GRAINS -DPAGELOOM_ROLLS -DPAGELOOM_ROUNDS -DPAGELOOM_AREAS=20 -DPAGELOOM_LIVE=40 -DPAGELOOM_HISTORY=1024 -DPAGELOOM_DIMS",
        ),
        "host_lean".to_owned(),
    );
    if let Build::Dense(columns, pages) | Build::Chain(columns, pages) = build {
        words = format!("-DPAGELOOM_DENSE -DPAGELOOM_BEAM -DPAGELOOM_COLUMNS={columns} -DPAGELOOM_PAGES={pages}");
        stem = format!("host_{columns}_{pages}");
    }
    if let Build::Film(columns, pages) = build {
        words = format!("-DPAGELOOM_FILM -DPAGELOOM_COLUMNS={columns} -DPAGELOOM_PAGES={pages}");
        stem = format!("host_film_{columns}_{pages}");
    }
    if let Build::Chain(..) = build {
        words.push_str(" -DPAGELOOM_FILM -DPAGELOOM_CHANGES -DPAGELOOM_GRAINS -DPAGELOOM_ROLLS -DPAGELOOM_ROUNDS -DPAGELOOM_AREAS=20 -DPAGELOOM_LIVE=40 -DPAGELOOM_HISTORY=1024 -DPAGELOOM_DIMS -DPAGELOOM_BOTH");
        stem.push_str("_both");
    }
    if build == Build::AreasAlone {
        (words, stem) = (
            "-DPAGELOOM_AREAS=20 -DPAGELOOM_AREAS_ALONE -DPAGELOOM_GRAINS -DPAGELOOM_LIVE=1 -DPAGELOOM_HISTORY=1024"
                .to_owned(),
            "host_areas".to_owned(),
        );
    }
    let folder = workshop(&stem);
    let program = folder.join(&stem);
    let strict =
        "-std=c99 -Wall -Wextra -Werror -pedantic -O1 -g -fsanitize=address,undefined -fno-sanitize-recover=all";
    let options = format!("{words} {strict} -o").trim().to_owned();
    compile(
        "cc",
        &options,
        &[&program, &root().join("tests/firmware/host.c"), &player.join("player.c"), &include(&player)],
    );
    program
}

/// `-I` and the folder as one argument.
fn include(folder: &std::path::Path) -> PathBuf {
    PathBuf::from(format!("-I{}", folder.display()))
}

/// What the C player prints.
pub fn play_in_c(reel: &[u8], actions: &[Action]) -> String {
    play_on_in_c(Build::Lean, reel, actions)
}

/// The same for a reel that may need a copy of the picture.
pub fn play_on_in_c(build: Build, reel: &[u8], actions: &[Action]) -> String {
    let mut script = String::new();
    write_script(&mut script, reel, actions);
    run(program(build), &[], &script).good("the C player on this machine")
}

/// The same for one reel after the other.
pub fn play_all_in_c(build: Build, cases: &[(Vec<u8>, Vec<Action>)]) -> String {
    let mut script = String::new();
    cases.iter().for_each(|(reel, actions)| write_script(&mut script, reel, actions));
    run(program(build), &[], &script).good("the C player on this machine")
}

/// A start on a reel, and what is done with it, in the words of `tests/firmware/host.c`.
fn write_script(script: &mut String, reel: &[u8], actions: &[Action]) {
    script.push_str("reel ");
    reel.iter().for_each(|byte| write!(script, "{byte:02X}").expect("writing to a string"));
    script.push('\n');
    for action in actions {
        match action {
            Action::Tick(now, allowance) => writeln!(script, "tick {now} {allowance}"),
            Action::Trigger(trigger) => writeln!(script, "trigger {trigger}"),
            Action::Set(live, value) => writeln!(script, "set {live} {value}"),
            Action::Restart => writeln!(script, "restart"),
            Action::Refuse(byte) => writeln!(script, "refuse {byte}"),
            Action::FailStop => writeln!(script, "fail stop"),
        }
        .expect("writing to a string");
    }
}

/// What the Rust player prints.
pub fn play_in_rust(reel: &[u8], actions: &[Action]) -> String {
    play_setting(Player::keeping(reel, AnyLean::default()), actions, |kept, live, value| {
        kept.set(usize::from(live), value);
    })
}

/// The same with a player that may keep a copy of the picture.
pub fn play_with<K: Extension>(player: Player<'_, K>, actions: &[Action]) -> String {
    play_setting(player, actions, |_, _, _| {})
}

fn play_setting<K: Extension>(mut player: Player<'_, K>, actions: &[Action], set: impl Fn(&mut K, u8, i16)) -> String {
    let mut bus = Printer::default();
    for action in actions {
        match *action {
            Action::Tick(now, allowance) => {
                let status = player.tick(&mut bus, now, allowance);
                assert!(!bus.open, "a transaction stays open:\n{}", bus.text);
                let scene = player.scene();
                match status {
                    Status::Idle => writeln!(bus.text, "idle scene {scene}"),
                    Status::Busy => writeln!(bus.text, "busy scene {scene}"),
                    Status::Cue(cue) => writeln!(bus.text, "cue {cue} scene {scene}"),
                    Status::Fault => writeln!(bus.text, "fault"),
                }
                .expect("writing to a string");
            }
            Action::Trigger(trigger) => player.trigger(trigger),
            Action::Set(live, value) => set(player.keeps(), live, value),
            Action::Restart => player.restart(),
            Action::Refuse(byte) => bus.refuse_in = byte,
            Action::FailStop => bus.fail_stop = true,
        }
    }
    bus.text
}

#[derive(Default)]
struct Printer {
    text: String,
    refuse_in: u16,
    fail_stop: bool,
    open: bool,
}

impl Printer {
    fn acknowledge(&mut self) -> Result<(), ()> {
        self.refuse_in = self.refuse_in.wrapping_sub(1);
        if self.refuse_in == 0 {
            self.text.push('!');
            return Err(());
        }
        self.refuse_in = if self.refuse_in == u16::MAX { 0 } else { self.refuse_in };
        Ok(())
    }
}

impl Bus for Printer {
    type Error = ();
    fn start(&mut self, address: u8) -> Result<(), ()> {
        assert!(!self.open, "a second start");
        self.open = true;
        write!(self.text, "{address:02X}<").expect("writing to a string");
        self.acknowledge()
    }
    fn write(&mut self, byte: u8) -> Result<(), ()> {
        assert!(self.open, "a byte outside a transaction");
        write!(self.text, " {byte:02X}").expect("writing to a string");
        self.acknowledge()
    }
    fn stop(&mut self) -> Result<(), ()> {
        assert!(self.open, "a stop outside a transaction");
        self.open = false;
        let good = !std::mem::take(&mut self.fail_stop);
        self.text.push_str(if good { " >\n" } else { " !>\n" });
        if good { Ok(()) } else { Err(()) }
    }
}

/// Calls at a frame's pace, with allowances of every size, triggers, faults and restarts among them.
pub fn schedule(calls: u32, triggers: u8) -> Vec<Action> {
    let mut actions = Vec::new();
    for call in 0..calls {
        if call % 331 == 330 {
            actions.push(Action::Trigger((call / 331 % u32::from(triggers.max(1))) as u8));
        }
        if call % 1777 == 1776 {
            actions.extend([
                Action::Refuse((call % 40) as u16 + 1),
                Action::Tick((call * 3) as u16, 40),
                Action::Restart,
            ]);
        }
        if call % 2999 == 2998 {
            actions.extend([Action::FailStop, Action::Tick((call * 3) as u16, 30), Action::Restart]);
        }
        actions.push(Action::Tick((call * 3) as u16, (call % 97 + 1) as u8));
    }
    actions
}

/// Whether a player that printed this was at work most of the time: bytes went to the bus, or a frame was whole.
pub fn plays(printed: &str) -> bool {
    printed.lines().filter(|line| line.starts_with("idle") || line.contains('<')).count() > 300
}

/// Requires that both players print the same.
pub fn require_same(in_c: &str, in_rust: &str, name: &str) {
    let parted = in_c.lines().zip(in_rust.lines()).position(|(c, rust)| c != rust);
    let around =
        |text: &str| text.lines().skip(parted.unwrap_or(0).saturating_sub(3)).take(6).collect::<Vec<_>>().join("\n");
    assert!(in_c == in_rust, "{name} parts at {parted:?}; in C\n{}\nin Rust\n{}", around(in_c), around(in_rust));
}
