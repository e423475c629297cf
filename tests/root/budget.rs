//! The demo's budgets against figures worked out elsewhere, and shows that break a budget.

use pageloom::budget::{Budget, budgets, choose, measure};
use pageloom::diag::{Findings, Severity, render as told};
use pageloom::panel::set_up_commands;
use pageloom::reel::{Options, Reel, joined};
use pageloom::render::render;
use pageloom::show::{Show, load};
use pageloom::source::{FilesInMemory, Reader};
use std::path::Path;

/// The demo with some of its text changed.
fn demo(changes: &[(&str, &str)]) -> (Option<(Show, Reel)>, Vec<Budget>, String, Findings) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut script = std::fs::read_to_string(root.join("scenes/helm.ron")).expect("the demo is there");
    for (from, to) in changes {
        assert!(script.contains(from), "the demo has no `{from}`");
        script = script.replace(from, to);
    }
    // The demo's reel is the lean one; a dense one need not be looked for each time.
    let script = script.replacen("Show(", "Show(profile: Lean, ", 1);
    let mut files = FilesInMemory::default().with("scenes/helm.ron", script);
    for name in ["fonts/cleat", "fonts/binnacle", "fonts/chandlery"] {
        for ending in ["ron", "png"] {
            let name = format!("{name}.{ending}");
            files = files.with(&name, std::fs::read(root.join(&name)).expect("the fonts are there"));
        }
    }
    let boat = std::fs::read(root.join("scenes/submersible.png")).expect("the picture is there");
    let files = files.with("scenes/submersible.png", boat);
    let mut reader = Reader::new(&files);
    let mut findings = Findings::default();
    let show = load(&mut reader, Path::new("scenes/helm.ron"), &mut findings);
    let mut figures = Vec::new();
    let built = show.and_then(|show| {
        let frames = render(&show);
        let choice = choose(Options::default(), &show, &frames, &mut findings)?;
        figures = budgets(&show, &choice, &frames, None, &mut findings);
        Some((show, choice.fitted.reel))
    });
    let text = told(&findings, &reader.sources, false);
    (built, figures, text, findings)
}

fn value(budgets: &[Budget], title: &str, name: &str) -> f64 {
    let budget = budgets.iter().find(|budget| budget.title == title).expect("the budget is there");
    budget.figures.iter().find(|figure| figure.name.starts_with(name)).expect("the figure is there").value
}

#[test]
fn the_demo_keeps_every_budget() {
    let (built, figures, text, findings) = demo(&[]);
    assert!(built.is_some() && findings.count(Severity::Error) + findings.count(Severity::Warning) == 0, "{text}");
    assert!(figures.iter().flat_map(|budget| &budget.figures).all(|figure| !figure.over()), "{figures:?}");
}

/// A whole picture of 72×40 with its window and in pieces of 31 bytes takes 3,528 clocks, 8.82 ms at 400 kHz: worked from
/// UM10204 (9 clocks a byte) without start, stop and idle. Ours adds 2.5 µs for each of its transactions, two more
/// command bytes that set the addressing mode, the return to page addressing, the start line by itself, since the log rolls,
/// and the rest of the look; and the 255 bytes of the first call, which set the display up too, end within a piece.
#[test]
fn a_key_frame_takes_what_was_worked_out_by_hand() {
    let (built, ..) = demo(&[("per_call: 16", "per_call: 255")]);
    let (show, reel) = built.expect("the demo builds");
    let key = measure(&show, &reel.bytes, show.bus())[0].frames[0];
    // The first frame of the show counts the set-up too: each group with address and control byte.
    let set_up = joined(&set_up_commands(show.panel(), show.mounting(), 0), usize::from(show.bus().write_limit) - 1);
    let of_set_up: u32 = set_up.iter().map(|group| group.len() as u32 + 2).sum();
    let (bytes, transactions) = (key.bytes.0 - of_set_up, key.transactions - set_up.len() as u32);
    let (data, window, back, line, look) = (360 + 12 * 2, 2 + 8, 2 + 2, 2 + 1, 2 + 4);
    let cut = 2;
    assert_eq!((bytes, transactions), (data + window + back + line + look + cut, 12 + 4 + 1));
    assert_eq!(key.time.0, 9 * u64::from(key.bytes.0) * 2_500 + u64::from(key.transactions) * 2_500);
    assert_eq!(9 * u64::from(bytes) - 9 * (2 + 4 + 3 + 6 + u64::from(cut)), 3_528);
    assert!(key.taken > key.time, "the CPU's work comes on top");
}

#[test]
fn a_call_takes_what_its_bytes_and_the_players_work_take() {
    let (built, ..) = demo(&[]);
    let (show, reel) = built.expect("the demo builds");
    let loads = measure(&show, &reel.bytes, show.bus());
    let longest = loads.iter().flat_map(|load| &load.frames).map(|frame| frame.longest_call).max().expect("frames");
    // 16 bytes, of which the work of a turning beam takes most: firmware/timing.rs holds such calls against the simulated part.
    assert!((1_400_000..1_800_000).contains(&longest.0), "{longest}");
    for (planned, load) in reel.scenes.iter().zip(&loads) {
        for (planned, load) in planned.frames.iter().zip(&load.frames) {
            assert!(load.time.0 >= planned.bus_nanoseconds, "pieces cannot be faster than the plan");
        }
    }
}

#[test]
fn what_does_not_fit_is_told_with_what_would() {
    let (_, figures, text, _) = demo(&[("flash_left: 14_000", "flash_left: 6_000")]);
    let over = value(&figures, "flash", "flash in total") - 6_000.0;
    assert!(text.contains(&format!("exceed the free flash of the ATmega328P by {over} B")), "{text}");
    assert!(text.contains("scenes/helm.ron:") && text.contains("frames a second would fit"), "{text}");
    let (_, _, text, _) = demo(&[("clock: 400_000", "clock: 60_000")]);
    assert!(text.contains("late in scene `"), "{text}");
    assert!(text.contains("`clock: 100_000` keeps time") || text.contains("`clock: 400_000` keeps time"), "{text}");
    let (_, figures, text, _) = demo(&[("ram_left: 900", "ram_left: 63")]);
    let over = value(&figures, "RAM", "RAM in total") - 63.0;
    assert!(over > 0.0 && text.contains(&format!("{over} B more than the show allows")), "{text}");
}

#[test]
fn what_is_hidden_is_told_by_layer_and_frame() {
    let (_, _, text, _) = demo(&[("width: 9.3, height: 5.3", "width: 9.3, height: 2.0")]);
    assert!(text.contains("`Text 4` reaches behind the bezel") || text.contains("is never visible"), "{text}");
    let (_, _, text, _) = demo(&[("at: TopRight(-2, 2)", "at: TopRight(9, 2)")]);
    assert!(text.contains("reaches outside the display: up to") && text.contains("frame 0 of scene `sonar`"), "{text}");
}

/// WCAG 2.3.1 allows three flashes a second; here the whole display changes ten times, five flashes.
#[test]
fn an_alert_that_flashes_too_fast_is_told_by_its_layer() {
    let changes = [("mode: Invert, blink: Blink(on: 1, off: 1)", "mode: Invert, blink: Blink(on: 0.1, off: 0.1)")];
    let (_, figures, text, _) = demo(&changes);
    assert_eq!(value(&figures, "flashing", "flashes on a screen"), 5.0);
    assert!(
        text.contains("scene `leak` flashes 5 times within one second") && text.contains("blink: Blink(on: 0.1"),
        "{text}"
    );
}

/// By hand: of 500 mAh four fifths may be used; two hours of a scene at its current are taken from them.
#[test]
fn a_cell_that_does_not_last_the_day_is_told() {
    let (_, figures, text, _) = demo(&[("milliampere_hours: 500", "milliampere_hours: 50")]);
    let used = value(&figures, "power", "a day's use");
    assert!(text.contains("but the cell delivers 40 mAh"), "{text}");
    let parts = [("boot", 0.1), ("sonar", 2.0), ("depth", 2.0), ("leak", 0.1), ("sleep", 4.0)];
    let part = |(scene, hours): (&str, f64)| {
        hours * value(&figures, "power", &format!("current from the cell, scene {scene}"))
    };
    assert!((parts.map(part).iter().sum::<f64>() - used).abs() < 1e-9);
    let (_, _, text, _) = demo(&[("milliampere_hours: 500", "milliampere_hours: 0")]);
    assert!(text.contains("`milliampere_hours` must be from 1 to 100000, not 0"), "{text}");
    let (_, _, text, _) = demo(&[("milliamperes: 24", "milliamperes: -24")]);
    assert!(text.contains("`milliamperes` must be from 0 to 10000, not -24"), "{text}");
}

/// The bus of the demo with other devices on it.
fn with_others<'a>(others: &'a str, clock: &'a str) -> [(&'static str, &'a str); 2] {
    const SENSOR: &str =
        "others: [Device(name: \"light sensor\", address: 0x39, writes: 1, reads: 4, times_a_second: 5)]";
    [(SENSOR, others), ("clock: 400_000", clock)]
}

/// Worked by hand from UM10204 Rev 7.0: a register of six bytes is read by START, address, register, START again, address, six
/// bytes, STOP: 9 bytes of 9 clocks are 81 clocks, 202.5 µs at 400 kHz, with tHD;STA twice, tSU;STA and tSU;STO of 0.6 µs each
/// and tBUF of 1.3 µs 206.2 µs; at 50 a second 1.031 % of the time, and at most 3 in the 50 ms of a frame. At 100 kHz 810 µs and
/// 4.0 + 4.7 + 4.0 + 4.0 + 4.7 µs.
#[test]
fn another_device_takes_of_the_bus_what_its_bits_take() {
    let others = r#"others: [Device(name: "gauge", writes: 1, reads: 6, times_a_second: 50, scenes: ["depth"])]"#;
    let (_, figures, text, _) = demo(&with_others(others, "clock: 400_000"));
    let shared = |name: &str| value(&figures, "shared bus", name);
    assert!((shared("a transaction with gauge") - 0.2062).abs() < 1e-9, "{text}");
    assert!((shared("others, scene depth") - 1.031).abs() < 1e-9);
    assert_eq!(shared("others, scene sonar"), 0.0, "it is asked in one scene only");
    let worst = value(&figures, "time", "worst bus time of a frame, scene depth");
    assert!((shared("other devices during the worst frame, scene depth") - worst - 3.0 * 0.2062).abs() < 1e-9);
    assert!((shared("left, scene depth") + shared("display, scene depth") + 1.031 - 100.0).abs() < 1e-9);
    assert_eq!(shared("longest wait of other devices"), value(&figures, "time", "longest time in one call"));
    assert!((shared("longest wait of the player for one device") - 0.2062).abs() < 1e-9);
    let (_, figures, ..) = demo(&with_others(others, "clock: 100_000"));
    assert!((value(&figures, "shared bus", "a transaction with gauge") - 0.8314).abs() < 1e-9);
}

/// By hand: 30 bytes written at once take 9 × 31 clocks, 697.5 µs at 400 kHz, and 2.5 µs around them: 0.7 ms. 1,500 times a second
/// they would take 105 % of it; 1,200 times 84 %, and 60 transactions of 42 ms within a frame. Held for 20 ms by a slow sensor, a
/// bus that is free on the whole still delays a frame.
#[test]
fn a_bus_that_is_asked_for_too_much_is_told_with_what_would_mend_it() {
    let device = |rate: &str| format!(r#"others: [Device(name: "lights", writes: 30, times_a_second: {rate})]"#);
    let (_, figures, text, _) = demo(&with_others(&device("1500"), "clock: 400_000"));
    assert!((value(&figures, "shared bus", "taken by lights") - 105.0).abs() < 1e-9);
    assert!(text.contains("the other devices 105 %: more than 100 %"), "{text}");
    assert!(
        text.contains("read `lights` less often: it alone uses 105 %") && text.contains("`clock: 1_000_000`"),
        "{text}"
    );
    let (_, _, text, _) = demo(&with_others(&device("1200"), "clock: 400_000"));
    assert!(text.contains("the other devices up to 42 ms: more than the 50 ms"), "{text}");
    // The same share of the bus, but less often than the longest call of the player lasts.
    let lights = r#"others: [Device(name: "lights", writes: 120, times_a_second: 290)]"#;
    let [others, clock] = with_others(lights, "clock: 400_000");
    let (_, _, text, findings) = demo(&[others, clock, ("frame_rate: 20", "frame_rate: 10")]);
    assert!(text.contains("note: in scene `sonar` the display uses") && text.contains("% are free"), "{text}");
    assert_eq!(findings.count(Severity::Error) + findings.count(Severity::Warning), 0, "{text}");
    let slow = r#"others: [Device(name: "far", reads: 2, times_a_second: 5, stretch_milliseconds: 45)]"#;
    let (_, _, text, _) = demo(&with_others(slow, "clock: 400_000"));
    assert!(text.contains("the other devices up to 45.1 ms"), "{text}");
    let often = r#"others: [Device(name: "ear", reads: 1, times_a_second: 3000)]"#;
    let (_, _, text, _) = demo(&with_others(often, "clock: 400_000"));
    assert!(text.contains("`ear` is read every 0.333 ms") && text.contains("move it to a second bus"), "{text}");
}

/// Worked by hand from the display's pitch of 128 µm across and 130 µm down: at 400 mm a lens of 60 mm magnifies 60 / 340 = 0.176471;
/// a pixel of the sensor is 23.5 mm / 6000 = 3.91667 µm; 0.128 × 0.176471 / 0.00391667 = 5.767 of them to one of the display. Letters of
/// 5 rows, 0.65 mm, take 29.29; two to a pixel are left at 60 × (1 + 0.128 / 0.00783333) = 1,040 mm.
#[test]
fn a_stated_photo_shows_each_text_as_large_as_lens_and_distance_make_it() {
    const PHOTO: &str = "distance_millimetres: 400";
    let (_, figures, text, _) = demo(&[]);
    let photo = |name: &str| value(&figures, "photo", name);
    assert!((photo("size of a display pixel at 400 mm") - 5.767).abs() < 0.001);
    assert!((photo("`Text 4 “SONAR”` of scene sonar") - 29.29).abs() < 0.01);
    assert!((photo("pixels can be separated") - 1040.4).abs() < 0.1);
    assert!(!text.contains("this photo"), "{text}");
    let (_, _, text, _) = demo(&[(PHOTO, "distance_millimetres: 2000")]);
    assert!(
        text.contains("in this photo one display pixel covers only 1.01 photo pixels: strokes blur together"),
        "{text}"
    );
    assert!(
        text.contains("move the camera to 1,040 mm or closer") && text.contains("a lens of 116 mm from here"),
        "{text}"
    );
    let (_, _, text, _) = demo(&[(PHOTO, "distance_millimetres: 80")]);
    assert!(
        text.contains("must magnify the display beyond life size") && text.contains("only a part of the display"),
        "{text}"
    );
}
