//! Thresholds: by the player's code in Rust and in C and in previews, a trigger comes where a plain reading of the script says so.

use super::language::{bad, course, good, played};
use pageloom::build::{BuildOptions, build};
use pageloom::player::Thresholds;
use pageloom::show::{LiveId, Threshold, ThresholdSide, TriggerId, threshold_table};
use pageloom::source::FilesInMemory;
use proptest::prelude::*;
use std::process::Command;

const LAYERS: &str = r#"layers: [Bar(at: Top, size: (40, 5),
    value: Live(name: "cell", from: 0, to: 100, steps: 50, start: 60, samples: [(0, 60), (1, 10), (2, 10), (3, 60)]))]"#;

fn script(thresholds: &str) -> String {
    format!(
        r#"start: "fine", triggers: {{"low": Ignore, "well": Ignore}}, thresholds: [{thresholds}],
        scenes: [
            Scene(name: "fine", seconds: 4, then: Repeat, triggers: {{"low": Go("low")}}, {LAYERS}),
            Scene(name: "low", seconds: 4, then: Repeat, triggers: {{"well": Go("fine")}}, {LAYERS}),
        ]"#
    )
}

const BOTH: &str =
    r#"Below(live: "cell", limit: 20, again: 25, trigger: "low"), Above(live: "cell", limit: 40, trigger: "well")"#;

/// By hand: the samples fall from 60 to 10 in the first second, so frame 8 has 20 and frame 9 has 15: scene `low` begins behind it. Its
/// own samples begin at 60, which is above 40.
#[test]
fn the_preview_follows_thresholds() {
    let show = good(&script(BOTH));
    let shown = course(&played(&show, 12, &[]));
    assert_eq!(shown[0], ("fine".into(), 10), "{shown:?}");
    assert_eq!(shown[1].0, "low");
}

#[test]
fn faults_of_thresholds_are_told() {
    for (thresholds, wanted) in [
        (r#"Below(live: "cel", limit: 20, trigger: "low")"#, "no layer has a live value named `cel`"),
        (r#"Below(live: "cell", limit: 20, trigger: "lo")"#, "lo"),
        (r#"Below(live: "cell", limit: 0, trigger: "low")"#, "limit"),
        (r#"Above(live: "cell", limit: 100, trigger: "low")"#, "limit"),
        (r#"Below(live: "cell", limit: 2.5, trigger: "low")"#, "`limit` must be a whole number, not 2.5"),
        (r#"Below(live: "cell", limit: 20, again: 20, trigger: "low")"#, "20 is not above 20"),
        (
            r#"Below(live: "cell", limit: 30, trigger: "low"), Above(live: "cell", limit: 20, trigger: "well")"#,
            "two thresholds lead to each other without end: at 21 `cell` is below 30 and above 20",
        ),
    ] {
        let told = bad(&script(thresholds));
        assert!(told.contains(wanted), "{thresholds}\n{told}");
    }
}

fn threshold() -> impl Strategy<Value = Threshold> {
    let span = pageloom::diag::Span {
        file: pageloom::diag::Sources::default().add(String::new(), String::new()),
        start: 0,
        end: 0,
    };
    (0usize..3, any::<bool>(), -200i16..200, 1i16..50, 0usize..4).prop_map(
        move |(value, above, limit, way, trigger)| {
            let (side, again) = match above {
                true => (ThresholdSide::Above, limit - way),
                false => (ThresholdSide::Below, limit + way),
            };
            Threshold { value: LiveId(value), side, limit, again, trigger: TriggerId(trigger), span }
        },
    )
}

proptest! {
    #[test]
    fn a_trigger_comes_once_for_each_passage(
        thresholds in prop::collection::vec(threshold(), 1..16),
        courses in prop::collection::vec([-250i16..250, -250i16..250, -250i16..250], 40),
    ) {
        let table = threshold_table(&thresholds);
        let mut watched = Thresholds::new(&table);
        let mut met = vec![false; thresholds.len()];
        for values in courses {
            let mut raised = Vec::new();
            watched.watch(|number| values[usize::from(number)], |trigger| raised.push(usize::from(trigger)));
            let mut wanted = Vec::new();
            for (threshold, met) in thresholds.iter().zip(&mut met) {
                let value = values[threshold.value.0];
                let beyond = |limit: i16| match threshold.side {
                    ThresholdSide::Below => value < limit,
                    ThresholdSide::Above => value > limit,
                };
                if !*met && beyond(threshold.limit) {
                    wanted.push(threshold.trigger.0);
                    *met = true;
                } else if *met && !beyond(threshold.again) {
                    *met = false;
                }
            }
            prop_assert_eq!(raised, wanted);
        }
    }
}

/// Values that harness/thresholds.c sets frame by frame, and the scenes by hand: below 20 `low` begins, above 40 `fine`. 22 and the 19
/// behind it do not raise the trigger again, since 25 was not reached; what the scene ignores has no effect.
const VALUES: [i16; 10] = [50, 20, 19, 22, 19, 41, 24, 19, 41, 0];
const SCENES: [&str; 10] = ["0", "0", "1", "1", "1", "0", "0", "1", "0", "1"];

#[test]
fn emitted_c_follows_thresholds_as_written() {
    let text = format!(
        r#"Show(name: "gauge", frame_rate: 10, panel: "0.42in-72x40-ssd1306", bus: I2c(clock: 400_000),
        microcontroller: "ATmega328P", fonts: {{"small": Shipped("cleat")}}, {})"#,
        script(BOTH)
    );
    let files = FilesInMemory::default().with("show.ron", text);
    let built = build("show.ron", &BuildOptions { files: &files, ..BuildOptions::default() });
    let folder = tempfile::tempdir().expect("a folder");
    let files = built.files().unwrap_or_else(|| panic!("{}", built.words())).iter().filter(|file| file.firmware);
    files.for_each(|file| std::fs::write(folder.path().join(&file.path), &file.bytes).expect("written"));
    let values = VALUES.map(|value| value.to_string()).join(", ");
    let main = include_str!("harness/thresholds.c").replace("VALUES", &values);
    std::fs::write(folder.path().join("main.c"), main).expect("written");
    let run = |tool: &str, arguments: &str| {
        let output = Command::new(tool).current_dir(folder.path()).args(arguments.split_whitespace()).output();
        let output = output.unwrap_or_else(|why| panic!("{tool} is needed for this test: {why}"));
        assert!(output.status.success(), "{tool}: {}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).expect("text")
    };
    run("gcc", "-std=c99 -Wall -Wextra -Werror -pedantic -O1 main.c gauge.c pageloom_player.c -o in_c");
    assert_eq!(run("./in_c", "").split_whitespace().collect::<Vec<_>>(), SCENES);
    // The emitted Rust has the same table.
    let rust = std::fs::read_to_string(folder.path().join("gauge.rs")).expect("text");
    assert!(rust.contains("pub static THRESHOLDS: [u8; 13]"), "{rust}");
}
