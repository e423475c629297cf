//! The cookbook, scenes/cookbook.md: every show of scenes/cookbook is built and played, and the page is generated with its script,
//! its size and a picture of what the simulated display shows; `PAGELOOM_BLESS=1` rewrites it.

use pageloom::budget::{budgets, choose};
use pageloom::diag::{Findings, Severity, render};
use pageloom::font::Font;
use pageloom::preview::{Events, Look, Shown, check_scenes, filmstrip, rehearse_events};
use pageloom::reel::Options;
use pageloom::show::load;
use pageloom::source::{Disk, Reader};
use pageloom::units::Nanoseconds;
use std::fs;
use std::path::{Path, PathBuf};

const FOLDER: &str = "scenes/cookbook";
const PAGE: &str = "scenes/cookbook.md";
const HEAD: &str = "# Cookbook\n\nComplete small shows to copy. Each script is a file in [cookbook](cookbook), and a test builds all of \
                    them. The picture shows six moments of the first scenes, as the simulated display shows them. The size is that of the \
                    compiled reel without the player. A show with a single scene gets a warning about wear, because its pixels never get a rest.\n";
/// Pictures of a show, spread over its first seconds.
const STILLS: u32 = 6;
const SECONDS: u32 = 9;

/// A script as the page shows it.
struct Recipe {
    title: String,
    words: String,
    script: String,
    stem: String,
    bytes: usize,
    picture: Vec<u8>,
}

fn recipe(path: &Path) -> Recipe {
    let text = fs::read_to_string(path).expect("a script");
    let mut lines = text.lines();
    let mut comment = || lines.next().and_then(|line| line.strip_prefix("// ")).expect("a comment").to_owned();
    let (title, words) = (comment(), comment());
    let script = lines.collect::<Vec<_>>().join("\n");
    let (bytes, picture) = built(path);
    let stem = path.file_stem().and_then(|stem| stem.to_str()).expect("a name").to_owned();
    Recipe { title, words, script, stem, bytes, picture }
}

/// The bytes of a show's reel, and a picture of what it shows.
fn built(path: &Path) -> (usize, Vec<u8>) {
    let (mut reader, mut findings) = (Reader::new(&Disk), Findings::default());
    let show = load(&mut reader, path, &mut findings);
    let show = show.unwrap_or_else(|| panic!("{}", render(&findings, &reader.sources, false)));
    let frames = pageloom::render::render(&show);
    let choice = choose(Options::default(), &show, &frames, &mut findings).expect("a reel");
    assert!(check_scenes(&show, &choice.fitted.reel, &frames, &mut findings), "{}", path.display());
    budgets(&show, &choice, &frames, None, &mut findings);
    let warned = findings.iter().filter(|finding| finding.severity == Severity::Warning);
    let unexpected = warned.filter(|finding| !finding.message.contains("is lit without change")).count();
    assert!(!findings.any_error() && unexpected == 0, "{}", render(&findings, &reader.sources, false));
    let last = SECONDS * u32::from(show.frame_rate().frames_per_second());
    let events = Events { frames: last, ..Events::default() };
    let played = rehearse_events(&show, &choice.fitted.reel, &frames, &events, &mut findings).expect("played as drawn");
    // Each entry of what was shown stands for one or more frames.
    let by_frame: Vec<&Shown> =
        played.shown.iter().flat_map(|shown| std::iter::repeat_n(shown, shown.frames as usize)).collect();
    let step = last / STILLS;
    let stays = Nanoseconds(show.frame_rate().period().0 * u64::from(step));
    let still = |number: u32| Shown { frames: step, stays, ..by_frame[(number * step) as usize].clone() };
    let stills: Vec<Shown> = (0..STILLS).map(still).collect();
    let look = Look::of(show.panel(), show.mounting(), Some(2));
    let picture = filmstrip(&stills, &look, &Font::shipped("thole"), &[]).expect("a PNG");
    (choice.fitted.reel.bytes.len(), picture)
}

fn page(recipes: &[Recipe]) -> String {
    let anchor = |title: &str| title.to_lowercase().replace(' ', "-");
    let mut text = format!("{HEAD}\n");
    for Recipe { title, .. } in recipes {
        text.push_str(&format!("- [{title}](#{})\n", anchor(title)));
    }
    for Recipe { title, words, script, stem, bytes, .. } in recipes {
        text.push_str(&format!(
            "\n## {title}\n\n{words} Reel: {bytes} bytes.\n\n![{title}](cookbook/{stem}.png)\n\n```ron\n{script}\n```\n"
        ));
    }
    text
}

#[test]
fn the_cookbook_is_built_and_shown_as_it_is() {
    let entries = fs::read_dir(FOLDER).expect("the folder").flatten().map(|entry| entry.path());
    let mut scripts: Vec<PathBuf> = entries.filter(|path| path.extension().is_some_and(|end| end == "ron")).collect();
    scripts.sort();
    assert!(scripts.len() >= 12, "{} shows", scripts.len());
    let recipes: Vec<Recipe> = scripts.iter().map(|path| recipe(path)).collect();
    let mut files = vec![(PAGE.to_owned(), page(&recipes).into_bytes())];
    files.extend(recipes.into_iter().map(|recipe| (format!("{FOLDER}/{}.png", recipe.stem), recipe.picture)));
    let bless = std::env::var_os("PAGELOOM_BLESS").is_some();
    let mut differing = Vec::new();
    for (path, bytes) in files {
        if bless {
            fs::write(&path, &bytes).expect("a writable folder");
        } else if fs::read(&path).ok().as_ref() != Some(&bytes) {
            differing.push(path);
        }
    }
    assert!(differing.is_empty(), "PAGELOOM_BLESS=1 rewrites {}", differing.join(", "));
}
