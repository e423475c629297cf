//! Lean reels in C and in Rust: the same bytes on the bus for every show of the corpus, and for beams of all kinds.

use super::host::Action::Tick;
use super::host::{Action, play_in_c, play_in_rust, plays, require_same, schedule};
use super::reels::Maker;
use super::tools::root;
use pageloom::diag::Findings;
use pageloom::reel::compile_lean;
use pageloom::render::render;
use pageloom::show::load;
use pageloom::source::{Disk, Reader};
use proptest::prelude::*;

pub fn alike(reel: &[u8], actions: &[Action], name: &str) -> String {
    let in_c = play_in_c(reel, actions);
    require_same(&in_c, &play_in_rust(reel, actions), name);
    in_c
}

#[test]
fn both_players_send_the_same_for_every_lean_show_of_the_corpus() {
    let folders = ["scenes", "scenes/bench"].map(|folder| std::fs::read_dir(root().join(folder)).unwrap());
    let mut scripts: Vec<_> = folders.into_iter().flatten().map(|entry| entry.unwrap().path()).collect();
    // Films are played as films by the dense players.
    scripts
        .retain(|path| path.extension().is_some_and(|kind| kind == "ron") && !path.to_string_lossy().contains("film"));
    scripts.sort();
    let (mut beams, mut noises, mut rolls, mut rounds) = (0, 0, 0, 0);
    for script in scripts {
        let (disk, mut findings) = (Disk, Findings::default());
        let show = load(&mut Reader::new(&disk), &script, &mut findings).expect("a show without faults");
        let reel = compile_lean(&show, &render(&show), &mut findings).expect("a lean reel");
        let text = alike(&reel.bytes, &schedule(6000, show.triggers().len() as u8), show.name());
        assert!(plays(&text), "{} hardly plays", show.name());
        beams += usize::from(reel.parts.beam);
        noises += usize::from(reel.parts.grains);
        rolls += usize::from(reel.parts.rolls);
        rounds += usize::from(reel.parts.rounds);
    }
    assert!(beams >= 2 && noises >= 1, "only {beams} reels have a beam, {noises} noise");
    assert!(rolls >= 1 && rounds >= 2, "only {rolls} reels have a roll, {rounds} a round");
}

/// Worked out by hand: a beam three pixels long that points up over two cells, then turns by a quarter to the right.
#[test]
fn a_beam_opens_with_all_its_cells_and_sends_those_that_change_as_it_turns() {
    let record = [29, 16 + 3, 0, 8, 9, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 2];
    let rows = [5, 28, 0x80, 0, 0, 0, 0, 0];
    let maker = Maker::new(8, &[&[]]).code(&[0x09]).scene();
    let reel = maker.code(&[0x17, 0]).code(&record).code(&rows).code(&[0x00, 0x18, 64, 0x02]).reel();
    let text = alike(&reel, &[Tick(0, 60), Tick(60, 60)], "by hand");
    // Up: rows 0 to 3 of the second column. To the right: row 3 of the second column and of the three behind it.
    let opened = ["3C< 00 B2 0C 11 >", "3C< 40 80 0F 00 00 00 >", "idle scene 0"];
    let turned = ["3C< 00 B2 0D 11 >", "3C< 40 08 08 08 08 >", "idle scene 0"];
    assert_eq!(text.lines().collect::<Vec<_>>(), [opened, turned].concat());
}

/// A beam of any kind over any picture on a display of 72×40, turned by so much frame by frame.
fn reel() -> impl Strategy<Value = Vec<u8>> {
    let limits = prop_oneof![Just(1u8), 1u8..20, 1u8..120].prop_flat_map(|most| proptest::collection::vec(0..most, 16));
    let beam = (28u8..100, 0u8..40, any::<bool>(), 0u16..60, limits);
    let rows = proptest::collection::vec(proptest::collection::vec(any::<u8>(), 1..40), 1..5);
    (beam, rows, any::<u8>(), proptest::collection::vec(0u8..100, 1..12), 3u8..40).prop_map(
        |((column, row, mirrored, radius, limits), rows, direction, turns, limit)| {
            let longest = limits.iter().fold(8, |longest, limit| longest.max(*limit));
            let [low, high] = (radius * radius).to_le_bytes();
            let mut code = vec![0x17, direction, column, row, u8::from(mirrored), longest, low, high];
            code.extend(&limits);
            code.push(0);
            for row in rows {
                code.extend([row.len() as u8, 28 + row[0] % 30]);
                code.extend(row);
            }
            code.extend([0, 0x00]);
            turns.iter().for_each(|turn| code.extend([0x18, *turn, 0x00]));
            code.push(0x02);
            Maker::new(limit, &[&[]]).code(&[0x09]).scene().code(&code).reel()
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn both_players_reckon_the_same_beam(reel in reel(), allowance in 0u8..80) {
        let actions: Vec<Action> = (0..400).map(|call| Tick(call * 7, allowance)).collect();
        alike(&reel, &actions, "a beam");
    }
}
