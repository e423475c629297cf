//! Lamps: tables against the script's own curves, the same levels from C and from Rust, the code's size by the compilers,
//! and what is told of a lamp that flashes too fast.

use super::firmware::shows::write_sources;
use super::firmware::simulator::PLAYER;
use super::firmware::tools::{compile, run, workshop};
use super::language::{bad, good};
use pageloom::budget::{budgets, choose, compile as compile_reel, lamp_code_bytes};
use pageloom::diag::{Findings, Severity};
use pageloom::emit::{CueTime, Firmware, FirmwareLamp, SceneTime, c, cue_sheet, rust};
use pageloom::player::lamp_level;
use pageloom::reel::{Options, Reel};
use pageloom::render::render;
use pageloom::show::{Ease, Lamp, Show, value_at};

/// A lamp for each ease, and some with jumps, repetitions, a late beginning, and a course longer than a step can be.
fn show() -> Show {
    let eased: String = Ease::WORDS
        .iter()
        .map(|(word, _)| {
            format!("\"{word}\": Lamp(level: Ramp(from: 20, to: 230, start: 0.1, seconds: 1.3, ease: {word})),")
        })
        .collect();
    good(&format!(
        r#"start: "a", cues: ["klaxon"], lamps: {{{eased}
            "beacon": Lamp(level: Keys(points: [(0, 255), (0.1, 0, Step), (0.7, 0), (0.8, 255), (2.5, 3, SineOut)], repeat: true),
                starts: [Scene("a"), Cue("klaxon")]),
            "breath": Lamp(level: Swing(from: Percent(5), to: Percent(60), seconds: 4), starts: [Scene("a")]),
            "candle": Lamp(level: Random(from: 120, to: 255, every: 0.08, seed: 4)),
            "dawn": Lamp(level: Ramp(from: 0, to: 255, seconds: 200, ease: CubicIn)),
            "steady": Lamp(level: 77),
            "late": Lamp(level: Keys([(0.5, 10), (0.5004, 200), (0.6, 100)])),
        }}, scenes: [Scene(name: "a", seconds: 1, then: Repeat, layers: [Border()], cues: [Cue(at: 0.5, name: "klaxon")])]"#
    ))
}

fn reel(show: &Show) -> Reel {
    compile_reel(show, &render(show), &mut Findings::default()).expect("a reel")
}

/// How far a level is from the script's curve within a millisecond, which is what a jump may be late by.
fn off(lamp: &Lamp, level: u8, at: u32) -> f64 {
    let exact = |at: u32| value_at(&lamp.level, f64::from(at) / 1000.0).clamp(0.0, 255.0);
    let near = [at, at.saturating_sub(1), at + 1].map(exact);
    let (low, high) = near.iter().fold((f64::MAX, f64::MIN), |(low, high), value| (low.min(*value), high.max(*value)));
    (low - f64::from(level)).max(f64::from(level) - high).max(0.0)
}

#[test]
fn tables_follow_the_curves_of_the_script() {
    let show = show();
    let reel = reel(&show);
    for (lamp, table) in show.lamps().iter().zip(&reel.lamps) {
        let stride = if table.milliseconds > 20_000 { 37 } else { 1 };
        let mut most: f64 = 0.0;
        for at in (0..table.milliseconds.max(100) + 500).step_by(stride) {
            most = most.max(off(lamp, lamp_level(&table.bytes, at), at));
        }
        assert!(most <= 2.0, "{} is {most} of 255 off", lamp.name);
    }
    let size = |name: &str| {
        let table = reel.lamps.iter().find(|table| table.name == name).expect("a lamp");
        (table.bytes.len(), table.milliseconds, table.repeats)
    };
    // Worked by hand: 4 bytes of head, 3 a step, 3 at the end. A straight ramp behind a wait is two steps.
    assert_eq!(size("steady"), (7, 0, false));
    assert_eq!(size("Linear"), (13, 1400, false));
    assert_eq!((size("breath").1, size("breath").2), (4000, true));
    assert!(size("breath").0 < 60, "{:?}", size("breath"));
    assert_eq!(size("candle"), (4 + 3 * 256 + 3, 20_480, true));
}

#[test]
fn a_pattern_that_repeats_goes_on_for_ever_and_a_broken_table_ends() {
    let show = show();
    let reel = reel(&show);
    let beacon = reel.lamps.iter().find(|table| table.name == "beacon").expect("a lamp");
    for at in 0..2500 {
        assert_eq!(lamp_level(&beacon.bytes, at), lamp_level(&beacon.bytes, at + 1_000_000 * 2500));
    }
    for cut in 0..beacon.bytes.len() {
        lamp_level(&beacon.bytes[..cut], 2400);
    }
}

fn firmware(show: &Show, reel: &Reel) -> Firmware {
    let lamp = |(lamp, table): (&Lamp, &pageloom::reel::LampTable)| FirmwareLamp {
        name: lamp.name.clone(),
        table: table.bytes.clone(),
        scenes: lamp.scenes.iter().map(|scene| scene.0).collect(),
        cues: lamp.cues.iter().map(|cue| cue.0).collect(),
    };
    Firmware {
        name: "lamps".into(),
        reel: reel.bytes.clone(),
        parts: reel.parts,
        scenes: show.scenes().iter().map(|scene| scene.name.clone()).collect(),
        cues: show.cues().to_vec(),
        scene_times: vec![SceneTime { frames: 10, milliseconds: 1000, repeats: true }],
        cue_times: vec![CueTime { scene: 0, cue: 0, frame: 5, milliseconds: 500 }],
        lamps: show.lamps().iter().zip(&reel.lamps).map(lamp).collect(),
        ..Firmware::default()
    }
}

/// The times at which levels are printed: dense at first, then far apart, then about the wrap of 32 bits.
fn times() -> Vec<u32> {
    let near = (0..3000).step_by(7);
    let far = (0..400).map(|step| 3000 + step * 613);
    near.chain(far).chain([u32::MAX - 1, u32::MAX]).collect()
}

#[test]
fn c_and_rust_give_the_levels_that_the_library_gives() {
    let show = show();
    let reel = reel(&show);
    let firmware = firmware(&show, &reel);
    let expected: String = reel
        .lamps
        .iter()
        .flat_map(|table| times().into_iter().map(|at| format!("{}\n", lamp_level(&table.bytes, at))))
        .chain(["scene 0 255\n", "scene 0 13\n", "cue 0 255\n", "0 5 500 0\n", "0 10 1000 1\n"].map(str::to_owned))
        .collect();
    let listed: Vec<String> = times().iter().map(|at| format!("{at}u")).collect();
    let header = c(&firmware).header;
    let names: Vec<&str> =
        header.lines().filter_map(|line| line.strip_prefix("extern const uint8_t lamps_lamp_")).collect();
    assert_eq!(names.len(), show.lamps().len());
    let calls: String = names
        .iter()
        .map(|name| format!("    levels(lamps_lamp_{});\n", name.split('[').next().unwrap_or_default()))
        .collect();
    let main = format!(
        "#include <stdio.h>\n#include \"lamps.h\"\nuint8_t pageloom_bus_start(uint8_t address) {{ return address; }}\n\
         uint8_t pageloom_bus_write(uint8_t byte) {{ return byte; }}\nuint8_t pageloom_bus_stop(void) {{ return 1; }}\n\
         static const uint32_t times[] = {{ {} }};\nstatic void levels(const uint8_t *lamp)\n{{\n    unsigned at;\n    \
         for (at = 0; at < sizeof times / sizeof times[0]; at++) printf(\"%u\\n\", pageloom_lamp_level(lamp, times[at]));\n}}\n\
         int main(void)\n{{\n{calls}\
         #define BY_SCENE(scene, table) printf(\"scene %d %u\\n\", (int)(scene), pageloom_lamp_level(table, 0));\n    \
         LAMPS_LAMPS_BY_SCENE(BY_SCENE)\n\
         #define BY_CUE(cue, table) printf(\"cue %d %u\\n\", (int)(cue), pageloom_lamp_level(table, 0));\n    \
         LAMPS_LAMPS_BY_CUE(BY_CUE)\n\
         #define ROW(one, two, three, four) printf(\"%d %d %d %d\\n\", (int)(one), two, three, (int)(four));\n    \
         LAMPS_CUE_TIMES(ROW)\n    LAMPS_SCENE_TIMES(ROW)\n    return 0;\n}}\n",
        listed.join(", ")
    );
    let folder = workshop("lamps");
    write_sources(std::slice::from_ref(&firmware), &folder);
    std::fs::write(folder.join("main.c"), &main).expect("written");
    let program = folder.join("in_c");
    let strict = "-std=c99 -Wall -Wextra -Werror -pedantic -O1";
    // The library that clang's sanitizers need is not installed with it everywhere; gcc's is.
    let sanitized = "-fsanitize=address,undefined -fno-sanitize-recover=all";
    for (compiler, more) in [("cc", sanitized), ("clang", "")] {
        let sources = ["main.c", "lamps.c", PLAYER].map(|name| folder.join(name));
        compile(compiler, &format!("{strict} {more} -o"), &[&program, &sources[0], &sources[1], &sources[2]]);
        assert_eq!(run(&program, &[], "").good("the C lamps"), expected, "{compiler}");
    }
    let tables: Vec<&str> = {
        let source: &str = Box::leak(rust(&firmware).into_boxed_str());
        source.lines().filter_map(|line| line.strip_prefix("pub static LAMP_")?.split(':').next()).collect()
    };
    let calls: String = tables.iter().map(|name| format!("    levels(&lamps::LAMP_{name});\n")).collect();
    let main = format!(
        "#![deny(warnings)]\nmod lamps;\nmod pageloom_config;\nmod pageloom_player;\nuse pageloom_player::lamp;\n\
         fn levels(table: &[u8]) {{\n    for at in TIMES {{ println!(\"{{}}\", lamp::level(table, at)); }}\n}}\n\
         const TIMES: [u32; {}] = [{}];\nfn main() {{\n{calls}    \
         for (scene, table) in lamps::LAMPS_BY_SCENE {{ println!(\"scene {{}} {{}}\", scene as u8, lamp::level(table, 0)); }}\n    \
         for (cue, table) in lamps::LAMPS_BY_CUE {{ println!(\"cue {{}} {{}}\", cue as u8, lamp::level(table, 0)); }}\n    \
         for time in lamps::CUE_TIMES {{ println!(\"{{}} {{}} {{}} {{}}\", time.scene as u8, time.frame, time.milliseconds, time.cue as u8); }}\n    \
         for (scene, time) in lamps::SCENE_TIMES.iter().enumerate() {{ println!(\"{{scene}} {{}} {{}} {{}}\", time.frames, time.milliseconds, time.repeats as u8); }}\n}}\n",
        times().len(),
        listed.join(", ").replace('u', "")
    );
    std::fs::write(folder.join("main.rs"), main).expect("written");
    let program = folder.join("in_rust");
    compile("rustc", "--edition 2021 -O -o", &[&program, &folder.join("main.rs")]);
    assert_eq!(run(&program, &[], "").good("the Rust lamps"), expected);
}

#[test]
fn a_lamp_that_flashes_too_fast_is_told_and_its_flash_is_counted() {
    let show = good(
        r#"start: "a", lamps: {"strobe": Lamp(level: Keys(points: [(0, 255), (0.1, 0, Step), (0.2, 0)], repeat: true)),
            "calm": Lamp(level: Swing(from: 0, to: 255, seconds: 2))},
            scenes: [Scene(name: "a", seconds: 1, layers: [Border()])]"#,
    );
    let (frames, mut findings) = (render(&show), Findings::default());
    let choice = choose(Options::default(), &show, &frames, &mut findings).expect("a reel");
    let budgets = budgets(&show, &choice, &frames, None, &mut findings);
    let told: Vec<&str> = findings
        .iter()
        .filter(|finding| finding.severity == Severity::Warning && finding.message.contains("lamp"))
        .map(|finding| finding.message.as_str())
        .collect();
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("`strobe` flashes 5 times within one second"), "{told:?}");
    let value = |budget: &str, figure: &str| {
        let budget = budgets.iter().find(|known| known.title == budget).expect("a budget");
        budget.figures.iter().find(|known| known.name == figure).unwrap_or_else(|| panic!("no {figure}")).value
    };
    let tables: usize = choice.fitted.reel.lamps.iter().map(|table| table.bytes.len()).sum();
    assert_eq!(value("flash", "lamps"), f64::from(lamp_code_bytes(&show)) + tables as f64);
    assert_eq!(value("lamps", "flashes of calm"), 1.0);
    assert!((value("lamps", "mean level of strobe") - 50.0).abs() < 2.0);
}

#[test]
fn faults_of_lamps_are_told_with_what_would_mend_them() {
    let told = bad(
        r#"start: "a", cues: ["ping"], lamps: {"one": Lamp(level: 256), "two": Lamp(level: Percent(120)), "three": Lamp(),
            "four": Lamp(level: 3, starts: [Scene("b"), Cue("pong"), Go("a")]), "five": 3, "six": Lamp(level: Millimetres(3)),
            "one": Lamp(level: Swing(from: 0, to: 300, seconds: 1))},
        scenes: [Scene(name: "a", seconds: 1, layers: [Border()])]"#,
    );
    for word in [
        "`level` must be from 0 to 255, not 256",
        "use a value from 0 to 255",
        "not 306",
        "the field `level` of Lamp is required",
        "no scene named `b`",
        "no cue named `pong`",
        "Scene(\"…\") or Cue(\"…\")",
        "Lamp(level: …)",
        "a level from 0 to 255, or Percent(…)",
        "`to` must be from 0 to 255, not 300",
    ] {
        assert!(told.contains(word), "{word} is not in\n{told}");
    }
}

/// The sheet of cues is read back by a library for CSV (RFC 4180).
#[test]
fn the_sheet_of_cues_tells_every_cue_and_when_it_comes_again() {
    let firmware = Firmware {
        scenes: vec!["a, b".into(), "c".into()],
        cues: vec!["ping".into(), "say \"now\"".into()],
        scene_times: vec![
            SceneTime { frames: 240, milliseconds: 12_000, repeats: true },
            SceneTime { frames: 20, milliseconds: 1000, repeats: false },
        ],
        cue_times: vec![
            CueTime { scene: 0, cue: 1, frame: 80, milliseconds: 4000 },
            CueTime { scene: 1, cue: 0, frame: 0, milliseconds: 0 },
        ],
        ..Firmware::default()
    };
    let sheet = cue_sheet(&firmware).expect("a sheet");
    let mut reader = csv::Reader::from_reader(sheet.as_bytes());
    let rows: Vec<Vec<String>> =
        reader.records().map(|row| row.expect("a row").iter().map(str::to_owned).collect()).collect();
    assert_eq!(rows, [["0", "a, b", "80", "4000", "1", "say \"now\"", "12000"], ["1", "c", "0", "0", "0", "ping", ""]]);
}
