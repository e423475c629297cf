//! The drawing board in the browser: a font for the words of a show drawn from an empty sheet by pointer and by keyboard alone, and
//! read back by Pillow; changes from outside; many changes a second; glyphs set as the program sets them.

use crate::root::board::pillow;
use crate::root::browser::driver::Browser;
use crate::root::watch::Watched;
use pageloom::font::{Font, SHIPPED};
use serde_json::Value;
use std::path::Path;
use std::process::Command;

const SPACE: &str = " ";
const RIGHT: &str = "\u{E014}";
const LEFT: &str = "\u{E012}";
const DOWN: &str = "\u{E015}";
const CONTROL: &str = "\u{E009}";
const SHIFT: &str = "\u{E008}";
const SETTLED: &str = "document.body.dataset.settled === 'yes'";

/// Letters of four columns and five rows, drawn for this test.
const LETTERS: [(char, [&str; 5]); 5] = [
    ('B', ["###.", "#..#", "###.", "#..#", "###."]),
    ('E', ["####", "#...", "###.", "#...", "####"]),
    ('L', ["#...", "#...", "#...", "#...", "####"]),
    ('N', ["#..#", "##.#", "#.##", "#..#", "#..#"]),
    ('O', [".##.", "#..#", "#..#", "#..#", ".##."]),
];

/// A show whose font is an empty sheet for these letters, at the drawing board.
fn at_an_empty_sheet() -> (Watched, Browser) {
    let watched = Watched::with(&["beacon.ron"], |folder| {
        let letters: String = LETTERS.iter().map(|(letter, _)| *letter).collect();
        let arguments = ["sheet", "new", "deck.ron", "--for", &letters, "--cell", "4x5"];
        let made = Command::new(env!("CARGO_BIN_EXE_pageloom")).args(arguments).current_dir(folder).output();
        let made = made.expect("the program runs");
        assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
        let script = std::fs::read_to_string(folder.join("beacon.ron")).expect("a show");
        let script = script.replace("type/small.ron", "deck.ron").replace("\"FIRST\"", "\"NOBLE\"");
        std::fs::write(folder.join("beacon.ron"), script).expect("written");
    });
    let browser = Browser::new(1200, 900);
    browser.open(&format!("http://127.0.0.1:{}/#fonts", watched.port));
    browser.wait_for("document.querySelectorAll('#cells li').length === 5");
    (watched, browser)
}

/// The rows of a cell of the sheet `deck.png`, as Pillow reads it; light pixels are ink.
fn rows(watched: &Watched, number: usize) -> Vec<String> {
    let ron = std::fs::read_to_string(watched.path("deck.ron")).expect("a font");
    let pair = |field: &str| -> (usize, usize) {
        let text = ron.split(&format!("{field}: (")).nth(1).and_then(|rest| rest.split(')').next()).expect(field);
        let (x, y) = text.split_once(", ").expect("a pair");
        (x.parse().expect("a number"), y.parse().expect("a number"))
    };
    let (cell, margin, spacing) = (pair("cell"), pair("margin"), pair("spacing"));
    let read = pillow(&["read", &watched.path("deck.png").display().to_string()]);
    let row = |y: usize| {
        let line = read.lines().nth(2 + margin.1 + y).expect("a row");
        let left = margin.0 + number * (cell.0 + spacing.0);
        (left..left + cell.0).map(|x| if line[x * 8..].starts_with("ffffff") { '#' } else { '.' }).collect()
    };
    (0..cell.1).map(row).collect()
}

/// The middle of a pixel of the large cell, in the window.
fn middles(browser: &Browser) -> impl Fn(usize, usize) -> (f64, f64) {
    let text = browser.text("document.getElementById('pixels').dataset.places");
    let box_at = browser.value("(() => { const box = document.getElementById('pixels').getBoundingClientRect(); return [box.left, box.top]; })()");
    let places: Vec<f64> = text.split(' ').map(|number| number.parse().expect("a number")).collect();
    let origin: Vec<f64> = serde_json::from_value(box_at).expect("two numbers");
    move |x, y| {
        let along = |from: f64, at: usize| from + (at as f64 + 0.5) * places[2];
        (origin[0] + along(places[0], x), origin[1] + along(places[1], y))
    }
}

#[test]
fn a_font_is_drawn_by_pointer_and_by_keyboard_and_read_back_by_another_program() {
    let (watched, browser) = at_an_empty_sheet();
    for (number, (letter, rows)) in LETTERS.iter().enumerate() {
        browser.click(&format!("#cell-{number}"));
        browser.wait_for(&format!("document.getElementById('cell-name').textContent.startsWith('{letter}')"));
        if number % 2 == 0 {
            // A stroke for each run of pixels in a row, by mouse and by finger.
            let middle = middles(&browser);
            let mut strokes = Vec::new();
            for (y, row) in rows.iter().enumerate() {
                for run in row.split('.').filter(|run| !run.is_empty()) {
                    let from = (run.as_ptr() as usize) - (row.as_ptr() as usize);
                    strokes.push(vec![middle(from, y), middle(from + run.len() - 1, y)]);
                }
            }
            browser.strokes(&strokes, if number == 0 { "mouse" } else { "touch" });
        } else {
            browser.value("document.getElementById('pixels').focus()");
            let mut keys: Vec<&[&str]> = Vec::new();
            for row in rows {
                for dot in row.chars() {
                    if dot == '#' {
                        keys.push(&[SPACE]);
                    }
                    keys.push(&[RIGHT]);
                }
                keys.push(&[DOWN]);
            }
            browser.keys(&keys);
        }
        browser.wait_for(SETTLED);
    }
    for (number, (letter, drawn)) in LETTERS.iter().enumerate() {
        assert_eq!(rows(&watched, number), drawn, "{letter}");
    }
    // The glyph is read as rows of on and off, and the word of the show is on the display.
    let said = browser.text("document.getElementById('pixels-read').textContent");
    assert!(said.starts_with("Row 1: off on on off. Row 2: on off off on."), "{said}");
    browser.wait_for("!document.querySelector('header .fault')");
    browser.keep_picture("board-drawn");
    // Until the show is built, the page says that its figures are older than the picture.
    browser.value("document.getElementById('pixels').focus()");
    browser.keys(&[&[SPACE]]);
    for seen in ["visible", "hidden"] {
        browser.wait_for(&format!("getComputedStyle(document.querySelector('.older')).visibility === '{seen}'"));
    }
}

#[test]
fn tools_and_undo_work_by_keyboard_and_a_change_from_outside_is_taken_in() {
    let (watched, browser) = at_an_empty_sheet();
    browser.value("document.getElementById('pixels').focus()");
    browser.keys(&[&[SPACE], &[RIGHT], &[SPACE], &[DOWN], &[SPACE]]);
    browser.wait_for(SETTLED);
    let drawn = ["##..", ".#..", "....", "....", "...."];
    assert_eq!(rows(&watched, 0), drawn);
    for key in ["m", "f", "i"] {
        browser.keys(&[&[key]]);
    }
    browser.wait_for(SETTLED);
    assert_eq!(rows(&watched, 0), ["####", "####", "####", "##.#", "##.."]);
    browser.keys(&[&[CONTROL, "z"], &[CONTROL, "z"], &[CONTROL, "z"], &[CONTROL, "z"], &[CONTROL, "y"]]);
    browser.wait_for(SETTLED);
    assert_eq!(rows(&watched, 0), drawn);
    browser.keys(&[&[SHIFT, LEFT]]);
    browser.wait_for(SETTLED);
    assert_eq!(rows(&watched, 0), ["#..#", "#...", "....", "....", "...."]);

    let png = watched.path("deck.png").display().to_string();
    let read = pillow(&["read", &png]);
    let margin = std::fs::read_to_string(watched.path("deck.ron")).expect("a font");
    let margin = margin.split("margin: (").nth(1).and_then(|rest| rest.split(')').next()).expect("a margin").to_owned();
    let (left, top) = margin.split_once(", ").expect("a pair");
    let (x, y) = (left.parse::<u32>().expect("a number") + 2, top.parse::<u32>().expect("a number") + 4);
    pillow(&["set", &png, &x.to_string(), &y.to_string()]);
    browser.wait_for("document.getElementById('board-said').textContent.includes('deck.png was changed outside')");
    browser.wait_for("document.getElementById('pixels-read').textContent.includes('Row 5: off off on off.')");
    assert!(read != pillow(&["read", &png]));
    browser.keys(&[&[SPACE]]);
    browser.wait_for(SETTLED);
    assert_eq!(rows(&watched, 0)[4], "..#.", "both changes are there");
}

/// A part of a glyph by pointer and by keyboard; what it passes over stays.
#[test]
fn a_part_of_a_glyph_is_dragged_by_pixels() {
    let (watched, browser) = at_an_empty_sheet();
    let middle = middles(&browser);
    let dot = |x, y| vec![middle(x, y), middle(x, y)];
    browser.strokes(&[dot(0, 0), dot(1, 1), dot(2, 1)], "mouse");
    browser.wait_for(SETTLED);
    assert_eq!(rows(&watched, 0), ["#...", ".##.", "....", "....", "...."]);
    browser.click("#part");
    let middle = middles(&browser);
    // A frame around the first two columns; then over the pixel beside it, and on.
    browser.strokes(&[vec![middle(0, 0), middle(1, 1)], vec![middle(0, 1), middle(1, 1)]], "mouse");
    browser.wait_for(SETTLED);
    assert_eq!(rows(&watched, 0), [".#..", "..#.", "....", "....", "...."]);
    browser.strokes(&[vec![middle(1, 1), middle(1, 3)]], "touch");
    browser.wait_for(SETTLED);
    assert_eq!(rows(&watched, 0), ["....", "..#.", ".#..", "..#.", "...."]);
    // One drag is one step back.
    browser.value("document.getElementById('pixels').focus()");
    browser.keys(&[&[CONTROL, "z"]]);
    browser.wait_for(SETTLED);
    assert_eq!(rows(&watched, 0), [".#..", "..#.", "....", "....", "...."]);
    // By keyboard: the pixel to the right of where the pointer went down.
    browser.keys(&[&["s"], &[RIGHT], &["s"]]);
    let said = browser.text("document.getElementById('pixel-said').textContent");
    assert_eq!(said, "Part: columns 3 to 3, rows 2 to 2");
    browser.keys(&[&[SHIFT, DOWN], &[SHIFT, DOWN]]);
    browser.wait_for(SETTLED);
    assert_eq!(rows(&watched, 0), [".#..", "....", "....", "..#.", "...."]);
}

/// The lines across the large cell are dragged by their handles: baseline, advance, kerning.
#[test]
fn baseline_advance_and_kerning_are_dragged() {
    let (watched, browser) = at_an_empty_sheet();
    // Only glyphs that are drawn can be kerned: `L`, which follows `B` in the word of the show.
    for cell in ["#cell-2", "#cell-0"] {
        browser.click(cell);
        let dot = middles(&browser)(0, 0);
        browser.strokes(&[vec![dot, dot]], "mouse");
        browser.wait_for(SETTLED);
    }
    let places = browser.text("document.getElementById('pixels').dataset.places");
    let places: Vec<f64> = places.split(' ').map(|number| number.parse().expect("a number")).collect();
    let (left, top, pitch) = (places[0], places[1], places[2]);
    let number = |field: &str| -> f64 {
        browser.text(&format!("document.getElementById('m-{field}').value")).parse().expect("a number")
    };
    let drag = |from: (f64, f64), right: f64, down: f64| {
        let (x, y) = middles(&browser)(0, 0);
        let start = (x - left - pitch / 2.0 + from.0, y - top - pitch / 2.0 + from.1);
        browser.strokes(&[vec![start, (start.0 + right * pitch, start.1 + down * pitch)]], "mouse");
        browser.wait_for(SETTLED);
    };
    browser.value("(() => { const field = document.getElementById('m-capHeight'); field.value = 3; field.dispatchEvent(new Event('input')); })()");
    browser.wait_for(SETTLED);
    let (baseline, advance, kerning) = (number("baseline"), number("advance"), number("kerning"));
    drag((12.0, top + baseline * pitch), 0.0, -1.0);
    assert_eq!(number("baseline"), baseline - 1.0);
    let height = browser.value("document.getElementById('pixels').clientHeight").as_f64().expect("a number");
    drag((left + (advance + kerning) * pitch, height - 10.0), -1.0, 0.0);
    assert_eq!(number("kerning"), kerning - 1.0);
    drag((left + advance * pitch, 10.0), 2.0, 0.0);
    assert_eq!(number("advance"), advance + 2.0);
    let ron = std::fs::read_to_string(watched.path("deck.ron")).expect("a font");
    for words in [format!("baseline: {}", baseline - 1.0), "\"BL\": -1".into(), format!("\"B\": {}", advance + 2.0)] {
        assert!(ron.contains(&words), "{words}:\n{ron}");
    }
}

/// Fifty changes within a second, from the page's own functions, with the show built anew all the while.
#[test]
fn fifty_changes_at_once_are_all_saved() {
    let (watched, browser) = at_an_empty_sheet();
    browser.value("document.getElementById('pixels').focus()");
    let mut keys: Vec<&[&str]> = Vec::new();
    for _ in 0..50 {
        keys.push(&[SPACE]);
        keys.push(&[RIGHT]);
    }
    // Two and a half times over the first row of four: a pixel that is set twelve or thirteen times.
    browser.keys(&keys);
    browser.wait_for(SETTLED);
    assert_eq!(rows(&watched, 0)[0], "##..");
    let second = Browser::new(800, 700);
    second.open(&format!("http://127.0.0.1:{}/#fonts", watched.port));
    second.wait_for("document.getElementById('pixels-read').textContent.startsWith('Row 1: on on off off.')");
    second.value("document.getElementById('pixels').focus()");
    second.keys(&[&[DOWN], &[SPACE]]);
    browser.wait_for("document.getElementById('pixels-read').textContent.includes('Row 2: on off off off.')");
}

/// The lit dots of the first line on the page, by a line's width with one pixel around it; its first dot is never lit.
const LIT_DOTS: &str = r##"((width) => {
  const canvas = document.querySelector("#lines canvas"), paper = canvas.getContext("2d"), size = canvas.width / width, found = [];
  const at = (x, y) => String(paper.getImageData(x * size, y * size, 1, 1).data);
  for (let y = 1; y < canvas.height / size - 1; y++) for (let x = 1; x < width - 1; x++) if (at(x, y) !== at(0, 0)) found.push([x - 1, y - 1]);
  return found;
})"##;

/// Every shipped font, with its aliases and its capitals, sets a text on the page as the program does.
#[test]
fn the_page_sets_lines_as_the_program_does() {
    const TEXTS: [&str; 4] =
        ["HULL LEAK 44 BAR", "Trim: 0.25 m, \u{2019}ok\u{2019} {anchor}{wave}", "AVA LT. \u{20ac} {{x}", "il1|I 0O8B"];
    let fonts = Path::new(env!("CARGO_MANIFEST_DIR")).join("fonts");
    for shipped in SHIPPED {
        let watched = Watched::with(&[&format!("{}.ron", shipped.name)], |folder| {
            // All of them, since some borrow from others.
            for entry in std::fs::read_dir(&fonts).expect("the fonts").flatten().filter(|entry| entry.path().is_file())
            {
                std::fs::copy(entry.path(), folder.join(entry.file_name())).expect("copied");
            }
        });
        let browser = Browser::new(800, 700);
        browser.open(&format!("http://127.0.0.1:{}/", watched.port));
        browser.wait_for("document.querySelectorAll('#cells li').length > 0");
        let font = Font::shipped(shipped.name);
        for text in TEXTS {
            let line = font.layout(text);
            let mut expected: Vec<(i32, i32)> = line.pixels().collect();
            expected.sort_unstable();
            browser.value(&format!(
                "(() => {{ const field = document.getElementById('try'); field.value = {}; field.dispatchEvent(new Event('input')); }})()",
                serde_json::to_string(text).expect("a text")
            ));
            let found: Value = browser.value(&format!("({LIT_DOTS})({})", line.width + 2));
            let mut found: Vec<(i32, i32)> = serde_json::from_value(found).expect("pixels");
            found.sort_unstable();
            assert_eq!(found, expected, "{text} in {}", shipped.name);
        }
    }
}
