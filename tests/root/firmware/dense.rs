//! Every show of the corpus as a dense reel: played into the model of the controller it is the frames drawn, and the dense player in C
//! sends what the one in Rust sends; so it does for reels of random bytes.

use super::host::Action::Tick;
use super::host::{Action, Build, play_on_in_c, play_with, plays, require_same, schedule};
use super::tools::root;
use pageloom::diag::Findings;
use pageloom::player::area::Areas;
use pageloom::player::bus::Chain;
use pageloom::player::dense::Picture;
use pageloom::player::film::Film;
use pageloom::player::over::CopyWithAreas;
use pageloom::player::{Any, Player, any_player};
use pageloom::preview::check_scenes;
use pageloom::reel::{REEL_VERSION, compile_as_film, compile_densely};
use pageloom::render::render;
use pageloom::show::load;
use pageloom::source::{Disk, Reader};
use proptest::prelude::*;

/// A display, and the room that its copy of the picture takes.
const COLUMNS: usize = 72;
const PAGES: usize = 5;
const CELLS: usize = COLUMNS * PAGES;
const MARKS: usize = COLUMNS.div_ceil(8) * PAGES;

fn alike(reel: &[u8], glass: (u32, u32), actions: &[Action], name: &str) -> String {
    let in_c = play_on_in_c(Build::Dense(glass.0, glass.1), reel, actions);
    let in_rust = play_with(Player::keeping(reel, Picture::<1024, 128>::new()), actions);
    require_same(&in_c, &in_rust, name);
    in_c
}

fn alike_as_film(reel: &[u8], glass: (u32, u32), actions: &[Action], name: &str) -> String {
    let in_c = play_on_in_c(Build::Film(glass.0, glass.1), reel, actions);
    let in_rust = play_with(Player::keeping(reel, Film::<1024, 16>::new()), actions);
    require_same(&in_c, &in_rust, name);
    in_c
}

fn alike_with_areas(reel: &[u8], glass: (u32, u32), actions: &[Action], name: &str) -> String {
    let in_c = play_on_in_c(Build::Chain(glass.0, glass.1), reel, actions);
    require_same(&in_c, &play_with(any_player(reel), actions), name);
    // The player of a firmware with both kinds of copies.
    let copies = Chain::new(Picture::<1024, 128>::new(), Film::<1024, 16>::new());
    let kept = CopyWithAreas::new(copies, Areas::<20>::new());
    require_same(&in_c, &play_with(Player::keeping(reel, kept), actions), name);
    in_c
}

#[test]
fn every_show_of_the_corpus_is_drawn_densely_as_it_was_rendered_and_alike_by_both_players() {
    let mut played = 0;
    let folders = ["scenes", "scenes/bench"].map(|folder| std::fs::read_dir(root().join(folder)).unwrap());
    let mut scripts: Vec<_> = folders.into_iter().flatten().map(|entry| entry.unwrap().path()).collect();
    scripts.retain(|path| path.extension().is_some_and(|kind| kind == "ron"));
    scripts.sort();
    for script in scripts {
        let (disk, mut findings) = (Disk, Findings::default());
        let Some(show) = load(&mut Reader::new(&disk), &script, &mut findings) else { continue };
        let glass = (show.panel().width, show.panel().height.div_ceil(8));
        let actions = schedule(6000, show.triggers().len() as u8);
        let frames = render(&show);
        for compile in [compile_densely, compile_as_film] {
            let Some(reel) = compile(&show, &frames, &mut findings) else { continue };
            assert!(check_scenes(&show, &reel, &frames, &mut findings), "{}", script.display());
            let text = match (reel.parts.areas > 0, reel.parts.film) {
                (true, _) => alike_with_areas(&reel.bytes, glass, &actions, show.name()),
                (false, true) => alike_as_film(&reel.bytes, glass, &actions, show.name()),
                (false, false) => alike(&reel.bytes, glass, &actions, show.name()),
            };
            assert!(plays(&text), "{} hardly plays", show.name());
            played += 1;
        }
    }
    assert!(played >= 36, "only {played} reels");
}

/// A literal is of a lean reel: only a player for both kinds of reels plays it.
#[test]
fn instructions_of_lean_reels_are_faults_where_only_dense_ones_are_played() {
    // Address 3C, one scene; the set-up at 13 ends at once, the scene at 14 is one byte of data.
    let reel = [REEL_VERSION, 0x3C, 16, 10, 0, 0, 1, 0, 0, 13, 0, 14, 0, 0x09, 0x20, 7, 0x02];
    let play = |build| play_on_in_c(build, &reel, &[Tick(0, 20), Tick(1, 20)]);
    let (columns, pages) = (COLUMNS as u32, PAGES as u32);
    assert_eq!(play(Build::Chain(columns, pages)), "3C< 40 07 >\nidle scene 0\nidle scene 0\n");
    assert_eq!(play(Build::Dense(columns, pages)), "fault\nfault\n");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]
    #[test]
    fn reels_of_random_bytes_are_the_same_in_both_and_hold_neither(
        body in proptest::collection::vec(any::<u8>(), 40..300),
        opening in 0x0Fu8..0x17,
    ) {
        // A header, one scene, a set-up that names a model, then an opening of a stream and a drawing among random bytes.
        let mut reel = vec![REEL_VERSION, 0x3C, 16, 10, 0, 0, 1, 1, 0, 14, 0, 18, 0, 0xFF, 0x10, 40, 0, 0x09];
        reel.extend([0x11, 1, 60, 0, 9, 200, 3, 0x0F, 200, 0x00, opening]);
        reel.resize(40, 0x00);
        reel.extend([COLUMNS as u8, PAGES as u8, 28, 1, 20, 40, 63, 64, 90, 100, 127, 21, 0, 30, 0, 50, 0, 70, 0, 90, 0]);
        reel.extend(body);
        // In the last three bytes no node of a tree can begin: there stand the scenes of a reel.
        reel.extend([0; 4]);
        let actions: Vec<Action> = (0..400).map(|call| Tick(call * 5, (call % 60) as u8)).collect();
        let in_c = play_on_in_c(Build::Chain(COLUMNS as u32, PAGES as u32), &reel, &actions);
        let in_rust = play_with(Player::keeping(&reel, Any::<CELLS, MARKS>::default()), &actions);
        prop_assert!(in_c == in_rust, "in C\n{}\nin Rust\n{}", in_c, in_rust);
    }

    #[test]
    fn films_of_random_bytes_are_the_same_in_both_and_hold_neither(
        widths in proptest::collection::vec(0u8..9, 14),
        body in proptest::collection::vec(any::<u8>(), 40..900),
        movement: u8,
        opening in 0x0Fu8..0x15,
    ) {
        // As above, with the model of a film: widths of its tables, then steps and a stream of random bytes.
        let mut reel = vec![REEL_VERSION, 0x3C, 16, 10, 0, 0, 1, 1, 0, 14, 0, 18, 0, 0xFF, 0x90, 36, 0, 0x09];
        reel.extend([0x11, movement, 60, 0, 9, 200, 3, 0x0F, 200, 0x00, opening]);
        reel.resize(36, 0x00);
        reel.extend([COLUMNS as u8, PAGES as u8, 28]);
        reel.extend(widths.chunks(2).map(|pair| pair[0] | pair[1] << 4));
        reel.extend(body);
        let actions: Vec<Action> = (0..400).map(|call| Tick(call * 5, (call % 60) as u8)).collect();
        let in_c = play_on_in_c(Build::Chain(COLUMNS as u32, PAGES as u32), &reel, &actions);
        let in_rust = play_with(Player::keeping(&reel, Any::<CELLS, MARKS>::default()), &actions);
        prop_assert!(in_c == in_rust, "in C\n{}\nin Rust\n{}", in_c, in_rust);
    }
}
