//! Broken reels of every kind through both players: they send the same, keep to the rules of the bus and end as a fault or go on;
//! neither reads beyond the reel. The C player runs under the address and undefined-behaviour sanitizers, with its state filled with
//! rubbish before it starts. Reels that once broke something stay in `tests/cases/reels`, as the hexadecimal digits of their bytes.

use super::super::chance::{Chance, seeds};
use super::host::Action::{self, Refuse, Restart, Tick, Trigger};
use super::host::{Build, play_all_in_c, play_with, require_same};
use super::reels::{changing, going_round, nested, passing, two_scenes};
use super::tools::root;
use pageloom::diag::Findings;
use pageloom::panel::BANKED_POINTER;
use pageloom::player::bus::{Burst, End};
use pageloom::player::{Any, Bus, Extension, Player};
use pageloom::reel::{compile_as_film, compile_densely, compile_lean};
use pageloom::render::render;
use pageloom::show::load;
use pageloom::source::{Disk, Reader};
use std::fmt::Write;
use std::path::Path;

const COLUMNS: u8 = 72;
const PAGES: u8 = 5;
const CELLS: usize = COLUMNS as usize * PAGES as usize;
const MARKS: usize = COLUMNS.div_ceil(8) as usize * PAGES as usize;
/// Shows for the 72×40 panel that between them need every part of the player.
const SHOWS: [&str; 9] = [
    "scenes/bench/sweep.ron",
    "scenes/bench/grains.ron",
    "scenes/bench/boot.ron",
    "scenes/bench/alert.ron",
    "scenes/bench/board.ron",
    "tests/cases/good/live.ron",
    "tests/cases/good/charts.ron",
    "tests/cases/good/text.ron",
    "tests/cases/good/over-copy.ron",
];
/// Reels whose C player is run as one program.
const BATCH: usize = 64;

/// What a Rust player of any reel keeps, for one panel only, as a C player is built: the model of another one is a fault.
#[derive(Default)]
struct OnePanel(Any<CELLS, MARKS>);

impl Extension for OnePanel {
    fn open(&mut self, reel: &[u8], operation: u8, at: u16) -> Option<u16> {
        const OPEN_MODEL: [u8; 2] = [0x10, 0x90];
        let byte = |at: usize| reel.get(at).copied().unwrap_or(0xFF);
        let model = usize::from(byte(at.into())) | usize::from(byte(usize::from(at) + 1)) << 8;
        if OPEN_MODEL.contains(&operation) && (byte(model), byte(model + 1)) != (COLUMNS, PAGES) {
            return self.0.open(&[], operation, 0);
        }
        self.0.open(reel, operation, at)
    }
    fn advance<B: Bus>(&mut self, reel: &[u8], bus: &mut B) -> bool {
        self.0.advance(reel, bus)
    }
    fn sends_areas(&self) -> bool {
        self.0.sends_areas()
    }
    fn leave(&mut self) {
        self.0.leave();
    }
    fn frame_begins(&mut self) {
        self.0.frame_begins();
    }
    fn dim<B: Bus>(&mut self, reel: &[u8], burst: &mut Burst<'_, B>) -> Option<Result<(), End>> {
        self.0.dim(reel, burst)
    }
    fn draw<B: Bus>(&mut self, reel: &[u8], scene: u8, burst: &mut Burst<'_, B>) -> Result<bool, End> {
        self.0.draw(reel, scene, burst)
    }
}

/// Whole reels: those written by hand, and of each show the lean one, the dense one and the film.
fn whole_reels() -> Vec<Vec<u8>> {
    let mut reels = vec![two_scenes(), nested(), passing(), changing(), going_round()];
    for script in SHOWS {
        let mut findings = Findings::default();
        let show = load(&mut Reader::new(&Disk), Path::new(script), &mut findings).expect(script);
        let frames = render(&show);
        let compiled = [compile_lean, compile_densely, compile_as_film].map(|one| one(&show, &frames, &mut findings));
        reels.extend(compiled.into_iter().flatten().map(|reel| reel.bytes));
    }
    reels
}

/// The reel with a few bytes changed, put in, taken away or doubled, or cut short.
fn mutated(reel: &[u8], chance: &mut Chance) -> Vec<u8> {
    let mut reel = reel.to_vec();
    for _ in 0..=chance.below(6) {
        // What stands first is gone through most.
        let most = if chance.below(3) > 0 { reel.len().min(120) } else { reel.len() };
        let at = chance.below(most);
        let Some(byte) = reel.get_mut(at) else { break };
        match chance.below(9) {
            0 => *byte = chance.byte(),
            1 => *byte = [0, 1, 0x7F, 0x80, 0x90, 0xFE, 0xFF][chance.below(7)],
            2 | 3 => *byte = chance.below(0x1E) as u8, // an instruction
            4 => *byte ^= 1 << chance.below(8),
            5 => reel.insert(at, chance.below(0x20) as u8),
            6 => drop(reel.remove(at)),
            7 => {
                let piece: Vec<u8> = reel[at..reel.len().min(at + chance.below(30))].to_vec();
                let to = chance.below(reel.len());
                reel.splice(to..to, piece);
            }
            _ if chance.below(4) == 0 => reel.truncate(at),
            _ => {
                let word = (chance.below(2 * reel.len()) as u16).to_le_bytes();
                reel.iter_mut().skip(at).zip(word).for_each(|(byte, new)| *byte = new);
            }
        }
    }
    // Address 1 stands for a way to set the pointer that only displays on SPI have; the players here are for I²C.
    if let Some(address) = reel.get_mut(1)
        && *address == BANKED_POINTER
    {
        *address += 1;
    }
    reel
}

fn actions(chance: &mut Chance) -> Vec<Action> {
    let mut now = chance.next() as u16;
    let action = |_| match chance.below(16) {
        0 => Trigger(chance.below(4) as u8),
        1 => Restart,
        2 if chance.below(4) == 0 => Refuse(chance.below(60) as u16 + 1),
        _ => {
            now = now.wrapping_add(chance.below(110) as u16);
            Tick(now, if chance.below(2) == 0 { 255 } else { chance.byte() })
        }
    };
    (0..40).map(action).collect()
}

type Case = (Vec<u8>, Vec<Action>);

fn in_rust((reel, actions): &Case) -> String {
    play_with(Player::keeping(reel, OnePanel::default()), actions)
}

/// Holds the players against each other; what breaks is left in `target/fuzz`, by the number of its case.
fn try_all(cases: &[Case], name: &str) {
    let both = Build::Chain(COLUMNS.into(), PAGES.into());
    let expected: String = cases.iter().map(in_rust).collect();
    let in_c = std::panic::catch_unwind(|| play_all_in_c(both, cases)).ok();
    // What only some builds know is a fault in the others, so they are only asked whether they stand.
    let (columns, pages) = (COLUMNS.into(), PAGES.into());
    let others = [Build::Lean, Build::Dense(columns, pages), Build::Film(columns, pages)];
    let stand = std::panic::catch_unwind(|| others.map(|build| drop(play_all_in_c(build, cases)))).is_ok();
    if in_c.as_ref() == Some(&expected) && stand {
        return;
    }
    for (number, case) in cases.iter().enumerate() {
        let one = std::slice::from_ref(case);
        let fails = std::panic::catch_unwind(|| {
            others.iter().for_each(|build| drop(play_all_in_c(*build, one)));
            require_same(&play_all_in_c(both, one), &in_rust(case), name);
        });
        if let Err(why) = fails {
            let mut text = format!("# {:?}\n", case.1);
            case.0.iter().for_each(|byte| write!(text, "{byte:02X} ").expect("writing to a string"));
            std::fs::create_dir_all("target/fuzz").expect("a folder");
            std::fs::write(format!("target/fuzz/{name}-{number}.hex"), text).expect("written");
            std::panic::resume_unwind(why);
        }
    }
    panic!("{name}: only together the cases break something");
}

#[test]
fn broken_reels_are_faults_in_both_players_or_are_played_alike() {
    let whole = whole_reels();
    let (mut batch, mut tried) = (Vec::new(), 0);
    let case = |seed| {
        let mut chance = Chance::of(seed);
        let reel = mutated(&whole[chance.below(whole.len())], &mut chance);
        (reel, actions(&mut chance))
    };
    for seed in seeds(2000) {
        batch.push(case(seed));
        if batch.len() == BATCH {
            try_all(&batch, &format!("reel-{seed}"));
            tried += batch.len();
            batch.clear();
        }
    }
    try_all(&batch, "reel-last");
    println!("{} broken reels", tried + batch.len());
}

#[test]
fn reels_that_once_broke_something_stay_faults() {
    let mut paths: Vec<_> = std::fs::read_dir(root().join("tests/cases/reels")).expect("the cases").flatten().collect();
    paths.sort_by_key(std::fs::DirEntry::path);
    assert!(!paths.is_empty());
    for path in paths {
        let text = std::fs::read_to_string(path.path()).expect("text");
        let digits = text.lines().filter(|line| !line.starts_with('#')).flat_map(str::split_whitespace);
        let reel: Vec<u8> = digits.map(|byte| u8::from_str_radix(byte, 16).expect("two digits")).collect();
        let name = path.file_name().to_string_lossy().into_owned();
        let ticks: Vec<Action> = (0..40).map(|call| Tick(call * 60, (call % 60) as u8)).collect();
        let again = [ticks.as_slice(), &[Restart], &ticks].concat();
        // Bytes are refused, each time another one, and the player restarts.
        let refused = |call: u16| [Refuse(call % 9 + 2), Tick(call * 60, 255), Restart, Tick(call * 60 + 30, 255)];
        let refused = (0..40).flat_map(refused).collect();
        try_all(&[(reel.clone(), ticks), (reel.clone(), again), (reel, refused)], &name);
    }
}
