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
    for word in ["must be later than `from`", "Off(from: …, until: …)", "`from` must be", "true, or a list"] {
        assert!(told.contains(word), "{word} is not in\n{told}");
    }
}

/// What has changed while an alert ran is not taken back: the way back leads to the scene that was left, as the mode is now.
#[test]
fn a_way_back_leads_to_the_scene_that_was_left_in_the_mode_of_now() {
    let show = good(
        r#"start: "a", modes: {"light": ["day", "night"]},
        triggers: {"leak": Go("alert"), "dusk": Set("light", "night"), "dawn": Set("light", "day"), "clear": Back},
        scenes: [
            Scene(name: "a", seconds: 1, then: Go("b"), triggers: {"clear": Ignore}, contrast: By("light", {"day": 200, "night": 20}), layers: [Border()]),
            Scene(name: "b", seconds: 1, then: Repeat, triggers: {"clear": Ignore}, contrast: By("light", {"day": 200, "night": 20}), layers: [Border(stroke: 2)]),
            Scene(name: "alert", seconds: 2, then: Back, triggers: {"leak": Ignore}, contrast: 255, layers: [Border(stroke: 3)]),
        ]"#,
    );
    // Triggers: 0 leak, 1 dusk, 2 dawn, 3 clear. Dusk falls in the alert, which a trigger ends, then another that ends itself.
    let rehearsal = played(&show, 70, &[(12, 0), (14, 1), (17, 3), (22, 0), (24, 2), (50, 0), (52, 3)]);
    let expected = [
        ("a", 10),
        ("b", 2),
        ("alert from b", 2),
        ("alert (night) from b", 3),
        ("b (night)", 5),
        ("alert (night) from b", 2),
        ("alert from b", 20),
        ("b", 6),
        ("alert from b", 2),
        ("b", 18),
    ];
    let shown = course(&rehearsal);
    let plain = |name: &str| name.replace(" from b", "");
    let both = |course: Vec<(String, u32)>| {
        course.into_iter().map(|(name, frames)| (plain(&name), frames)).collect::<Vec<_>>()
    };
    assert_eq!(both(shown), both(named(&expected)));
    let contrasts = [13, 20, 40, 60].map(|frame: usize| rehearsal.shown[frame].contrast);
    assert_eq!(contrasts, [255, 20, 255, 200]);
}

/// A counter that has run out is at its beginning again, also in the scene that one comes back to.
#[test]
fn a_counter_that_led_away_has_begun_anew_on_the_way_back() {
    let show = good(
        r#"start: "a", modes: {"knocks": ["none", "one"]}, triggers: {"knock": Count("knocks", Go("asleep")), "wake": Back},
        scenes: [
            Scene(name: "a", seconds: 1, then: Repeat, triggers: {"wake": Ignore}, layers: [Border()]),
            Scene(name: "asleep", seconds: 1, then: Repeat, triggers: {"knock": Ignore}, layers: [Border(stroke: 2)]),
        ]"#,
    );
    let rehearsal = played(&show, 30, &[(3, 0), (5, 0), (8, 1), (11, 0), (14, 0), (20, 1)]);
    let expected = [("a", 3), ("a (one)", 2), ("asleep", 3), ("a", 3), ("a (one)", 3), ("asleep", 6), ("a", 10)];
    assert_eq!(course(&rehearsal), named(&expected));
}

/// Without a change of mode the player itself remembers the way back, and no scene is made twice.
#[test]
fn a_way_back_without_a_change_makes_no_further_scenes() {
    let show = good(
        r#"start: "a", modes: {"light": ["day", "night"]}, triggers: {"leak": Go("alert"), "dusk": Set("light", "night")},
        scenes: [
            Scene(name: "a", seconds: 1, then: Go("b"), layers: [Border()]),
            Scene(name: "b", seconds: 1, then: Go("a"), layers: [Border()]),
            Scene(name: "alert", seconds: 1, then: Back, triggers: {"leak": Ignore, "dusk": Ignore}, layers: [Border(stroke: 2)]),
        ]"#,
    );
    let names: Vec<&str> = show.scenes().iter().map(|scene| scene.name.as_str()).collect();
    assert_eq!(names, ["a", "b", "alert", "a (night)", "b (night)", "alert (night)"]);
    let rehearsal = played(&show, 30, &[(12, 0)]);
    assert_eq!(course(&rehearsal), named(&[("a", 10), ("b", 2), ("alert", 10), ("b", 8)]));
}

/// A scene that stays so long and then goes on by itself is a timeout; a trigger before that comes first.
#[test]
fn a_timeout_leads_on_unless_a_trigger_comes_first_and_ignored_triggers_change_nothing() {
    let show = good(
        r#"start: "menu", triggers: {"press": Go("chosen"), "other": Ignore}, scenes: [
            Scene(name: "menu", seconds: 2, then: Go("idle"), layers: [Border()]),
            Scene(name: "chosen", seconds: 1, then: Go("menu"), triggers: {"press": Ignore}, layers: [Border(stroke: 2)]),
            Scene(name: "idle", seconds: 1, then: Repeat, triggers: {"press": Go("menu"), "other": Go("chosen")}, layers: [Border(stroke: 3)]),
        ]"#,
    );
    // Triggers: 0 press, 1 other. The menu ignores `other`, the chosen page ignores `press`; both play on where they were.
    let raised = [(5, 1), (8, 0), (12, 0), (25, 1), (45, 1), (50, 0)];
    let expected = [("menu", 8), ("chosen", 10), ("menu", 20), ("idle", 7), ("chosen", 10), ("menu", 15)];
    assert_eq!(course(&played(&show, 70, &raised)), named(&expected));
}

/// Of two triggers before one frame the last one counts, whatever their order in the show.
#[test]
fn of_two_triggers_at_once_the_last_counts() {
    let show = good(
        r#"start: "a", triggers: {"one": Go("b"), "two": Go("c")}, scenes: [
            Scene(name: "a", seconds: 1, then: Repeat, layers: [Border()]),
            Scene(name: "b", seconds: 1, then: Repeat, layers: [Border(stroke: 2)]),
            Scene(name: "c", seconds: 1, then: Repeat, layers: [Border(stroke: 3)]),
        ]"#,
    );
    assert_eq!(course(&played(&show, 10, &[(4, 0), (4, 1)])), named(&[("a", 4), ("c", 6)]));
    assert_eq!(course(&played(&show, 10, &[(4, 1), (4, 0)])), named(&[("a", 4), ("b", 6)]));
}
