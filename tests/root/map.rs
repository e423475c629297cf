//! The map of scenes: read back by an XML library, with every scene, way and trigger on it, and scenes that are lost or trap.

use super::language::good;
use pageloom::diag::Findings;
use pageloom::report::map;
use pageloom::show::load;
use pageloom::source::{Disk, Reader};
use std::path::Path;

/// Texts and counts of elements as Python's own XML library reads them.
fn read(svg: &str) -> Vec<String> {
    const SCRIPT: &str = "
import sys, xml.etree.ElementTree as tree
root = tree.fromstring(sys.stdin.read())
space = '{http://www.w3.org/2000/svg}'
assert root.tag == space + 'svg', root.tag
width, height = (float(part) for part in root.get('viewBox').split()[2:])
for text in root.iter(space + 'text'):
    print(text.text)
    assert 0 <= float(text.get('x')) <= width and 0 <= float(text.get('y')) <= height, text.text
for kind in ('path', 'polygon'):
    print(kind, sum(1 for _ in root.iter(space + kind)))
";
    let ran = super::firmware::tools::run("python3", &["-c".as_ref(), SCRIPT.as_ref()], svg);
    ran.good("Python's XML library").lines().map(str::to_owned).collect()
}

#[test]
fn every_scene_and_way_is_on_the_map() {
    let show = good(
        r#"start: "boot", triggers: {"leak": Go("leak"), "wake": Back, "dusk": Set("light", "night")}, modes: {"light": ["day", "night"]},
        cues: ["ping"], lamps: {"beacon": Lamp(level: 9, starts: [Scene("leak")])}, scenes: [
            Scene(name: "boot", seconds: 2, then: Go("sonar"), triggers: {"wake": Ignore, "dusk": Ignore}, layers: [Border()]),
            Scene(name: "sonar", seconds: 4, then: Go("depth"), triggers: {"wake": Ignore}, cues: [Cue(at: 0, name: "ping")], layers: [Border()]),
            Scene(name: "depth", seconds: 3.5, then: Go("sonar"), triggers: {"wake": Ignore}, layers: [Border()]),
            Scene(name: "leak", seconds: 1, then: Repeat, triggers: {"leak": Ignore, "dusk": Ignore}, layers: [Border()]),
        ]"#,
    );
    let found = read(&map(&show));
    for word in [
        "boot",
        "sonar",
        "depth",
        "leak",
        "start",
        "after 2 s",
        "after 4 s",
        "after 3.5 s",
        "repeats every 1 s",
        "leak, from anywhere",
        "back on wake",
        "ignores wake",
        "dusk: light becomes night",
        "cues ping",
        "lamps beacon",
        "one for each light: day, night",
    ] {
        assert!(found.iter().any(|text| text == word), "{word} is not in {found:?}");
    }
    // Three ways that follow, the start's line, two samples of the legend, and the band of the trigger; a head for each way.
    assert!(found.contains(&"path 7".to_owned()) && found.contains(&"polygon 4".to_owned()), "{found:?}");
}

#[test]
fn lost_scenes_and_traps_are_marked_and_told() {
    let script = r#"Show(name: "t", frame_rate: 10, panel: "0.42in-72x40-ssd1306", bus: I2c(clock: 400_000), microcontroller: "ATmega328P",
        start: "a", triggers: {"x": Go("pit")}, scenes: [
            Scene(name: "a", seconds: 1, then: Repeat, layers: [Border()]),
            Scene(name: "pit", seconds: 1, then: Repeat, triggers: {"x": Ignore}, layers: [Border()]),
            Scene(name: "lost", seconds: 1, then: Go("a"), triggers: {"x": Ignore}, layers: [Border()]),
        ])"#;
    let files = pageloom::source::FilesInMemory::default().with("show.ron", script);
    let (mut reader, mut findings) = (Reader::new(&files), Findings::default());
    let show = load(&mut reader, Path::new("show.ron"), &mut findings).expect("a show");
    let found = read(&map(&show));
    for word in ["never reached", "no way out"] {
        assert_eq!(found.iter().filter(|text| *text == word).count(), 1, "{word}: {found:?}");
    }
    let told = pageloom::diag::render(&findings, &reader.sources, false);
    assert!(told.contains("show.ron:4:") && told.contains("no trigger leads out of the scene"), "{told}");
    assert!(told.contains("show.ron:5:") && told.contains("the scene `lost` can never be reached"), "{told}");
}

#[test]
fn the_maps_of_all_shows_are_drawn() {
    for name in ["helm", "mast", "cabin", "dome", "sign"] {
        let (mut reader, mut findings) = (Reader::new(&Disk), Findings::default());
        let show = load(&mut reader, &Path::new("scenes").join(format!("{name}.ron")), &mut findings).expect("a show");
        let found = read(&map(&show));
        let titles: Vec<&str> = show.scenes().iter().map(|scene| scene.script_name.as_str()).collect();
        assert!(titles.iter().all(|title| found.iter().any(|text| text == title)), "{name}: {found:?}");
    }
}
