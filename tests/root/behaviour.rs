//! What scenes do beside drawing: the display switched off and on, held against what the modelled controller showed and
//! what went over the bus (commands AE and AF: SSD1306 data sheet Rev 1.5 Table 9-1, the memory stays: §8.9).

use super::language::{bad, course, good, named, played};
use pageloom::budget::{display_milliamperes, display_off_milliamperes, scene_currents};
use pageloom::preview::Rehearsal;
use pageloom::render::render;

/// Whether the display was on, and how many pixels shone, frame by frame.
fn light(rehearsal: &Rehearsal) -> Vec<(bool, usize)> {
    rehearsal.shown.iter().map(|shown| (shown.on, shown.picture.lit())).collect()
}

#[test]
fn the_display_goes_off_and_comes_back_with_its_picture() {
    let show = good(
        r#"start: "a", scenes: [Scene(name: "a", seconds: 1, then: Repeat, off: [Off(from: 0.2, until: 0.5), Off(from: 0.8)],
            layers: [Rectangle(at: TopLeft, size: (3, 1)), Rectangle(at: TopLeft(0, 2), size: (1, 1), from: 0.3)])]"#,
    );
    let rehearsal = played(&show, 20, &[]);
    let lap = [(true, 3), (true, 3), (false, 0), (false, 0), (false, 0), (true, 4), (true, 4), (true, 4), (false, 0)];
    let light = light(&rehearsal);
    assert_eq!((&light[..9], &light[10..19]), (&lap[..], &lap[..]));
    // Off is one command in a transaction of its own (address, control byte, AE), and then nothing at all.
    let bytes: Vec<u32> = rehearsal.traffic.iter().map(|traffic| traffic.bytes.0).collect();
    assert_eq!((bytes[2], bytes[3], bytes[4], bytes[8], bytes[9]), (3, 0, 0, 3, 0));
    assert!(bytes[5] > 3, "the pixel that came meanwhile is sent: {bytes:?}");
}

/// Every scene opens with a key frame: one that is off switches off before it sends, one that is on switches on at its end.
#[test]
fn a_scene_entered_from_a_dark_one_switches_on_again() {
    let show = good(
        r#"start: "a", triggers: {"rest": Go("dark"), "wake": Back}, scenes: [
            Scene(name: "a", seconds: 1, then: Repeat, triggers: {"wake": Ignore}, layers: [Border()]),
            Scene(name: "dark", off: true, triggers: {"rest": Ignore}),
        ]"#,
    );
    let rehearsal = played(&show, 30, &[(5, 0), (15, 1), (20, 0), (22, 1)]);
    assert_eq!(course(&rehearsal), named(&[("a", 5), ("dark", 10), ("a", 5), ("dark", 2), ("a", 8)]));
    for (frame, shown) in rehearsal.shown.iter().enumerate() {
        assert_eq!((shown.on, shown.picture.lit() > 0), (shown.scene == "a", shown.scene == "a"), "frame {frame}");
    }
}

#[test]
fn a_dark_display_counts_as_off_in_the_budgets() {
    let show = good(
        r#"start: "a", scenes: [Scene(name: "a", seconds: 1, then: Repeat, off: [Off(from: 0.5)], layers: [
            Rectangle(at: Centre, size: Full, fill: true)])]"#,
    );
    let current = scene_currents(&show, &render(&show))[0].display;
    let lit = display_milliamperes(show.panel(), 72 * 40, show.scenes()[0].contrast_at(0.0));
    assert!((current - (lit + display_off_milliamperes()) / 2.0).abs() < 1e-9, "{current}");
    let told = bad(
        r#"start: "a", scenes: [Scene(name: "a", seconds: 1, off: [Off(from: 0.5, until: 0.5), Of(from: 1), Off(from: -1)], layers: [Border()]),
        Scene(name: "b", seconds: 1, off: 3, layers: [Border()])]"#,
    );
    for word in ["no time at all", "Off(from: …, until: …)", "`from` must be", "true, or a list"] {
        assert!(told.contains(word), "{word} is not in\n{told}");
    }
}
