//! The shows that firmware is built from: the reel, and what the viewer must see of it, frame by frame.

use super::tools::root;
use pageloom::diag::Findings;
use pageloom::emit::{Firmware, FirmwareField, FirmwareLamp, SourceFile, firmware_sources};
use pageloom::emulator::Emulator;
use pageloom::panel::{self, BusSettings, Mounting, MountingTurn, Panel, PlayerParts, Wires, set_up_commands};
use pageloom::reel::{self, BACK, FieldTable, Header, IGNORED, LampTable, Next, Reel, SceneFrames};
use pageloom::render::{self, Bitmap};
use pageloom::show::{self, Lamp, Reaction, Scene, Show, Then};
use pageloom::source::{Disk, Reader};
use pageloom::units::{FrameRate, Hertz};
use std::path::Path;

/// A compiled show beside its frames.
pub struct TestShow {
    pub name: &'static str,
    pub panel: Panel,
    pub mounting: Mounting,
    pub write_limit: u8,
    pub reel: Vec<u8>,
    /// What its player is built for.
    pub parts: PlayerParts,
    /// The names of scenes, triggers and cues.
    pub names: [Vec<String>; 3],
    pub lamps: Vec<FirmwareLamp>,
    pub fields: Vec<FirmwareField>,
    /// What the supervisor knows of the display.
    pub display: Vec<u8>,
    /// Whether its module never acknowledges.
    pub unacknowledged: bool,
    /// Whether its display is on SPI.
    pub spi: bool,
    pub start: usize,
    pub scenes: Vec<TestScene>,
}

/// A scene as it must be seen.
pub struct TestScene {
    pub frames: Vec<Bitmap>,
    /// The same with what firmware may have written into its fields by then.
    pub live: Vec<Bitmap>,
    /// The cues of each frame.
    pub cues: Vec<Vec<u8>>,
    pub then: Next,
    /// For each trigger what it leads to.
    pub reactions: Vec<u8>,
}

impl TestShow {
    /// Its panel on the bus, just powered up.
    pub fn display_on_the_bus(&self) -> Emulator {
        let display = Emulator::new(&self.panel);
        if self.spi { display.at_address(0) } else { display }
    }
    /// Writes the emitted sources, those of the show as `STEM.h` and `STEM.c`.
    pub fn write_c(&self, folder: &Path, stem: &str) {
        write_sources(&[self.firmware(stem)], folder);
    }

    /// What a firmware carries of the show, under a name.
    pub fn firmware(&self, stem: &str) -> Firmware {
        let [scenes, triggers, cues] = self.names.clone();
        let (name, reel) = (stem.to_owned(), self.reel.clone());
        let (lamps, fields, parts) = (self.lamps.clone(), self.fields.clone(), self.parts);
        let (display, unacknowledged) = (self.display.clone(), self.unacknowledged);
        Firmware {
            name,
            reel,
            parts,
            scenes,
            triggers,
            cues,
            lamps,
            fields,
            display,
            unacknowledged,
            spi: self.spi,
            ..Firmware::default()
        }
    }
}

/// Writes all sources of a firmware, as `pageloom build` does.
pub fn write_sources(shows: &[Firmware], folder: &Path) {
    for SourceFile { name, text } in firmware_sources(shows, &[]).expect("the shows get along") {
        let path = folder.join(name);
        std::fs::write(&path, text).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    }
}

/// Every show that firmware is tried with.
pub fn all() -> Vec<TestShow> {
    let small =
        |name, turn, limit| drawn(name, "0.42in-72x40-ssd1306", Mounting { turn, ..Mounting::default() }, limit);
    vec![
        small("drawn", MountingTurn::Upright, 32),
        small("turned", MountingTurn::Left, 255),
        drawn(
            "paged",
            "1.3in-128x64-sh1106",
            Mounting { turn: MountingTurn::Half, mirror: true, ..Mounting::default() },
            17,
        ),
    ]
}

/// The demo, compiled as `pageloom build` compiles it.
pub fn helm() -> TestShow {
    from_script("helm", "scenes/helm.ron", &[])
}

/// The show of the smallest example, whose field is empty, half written, or shows what a sensor says that gives no voltage.
pub fn beacon() -> TestShow {
    from_script("beacon", "examples/attiny85/beacon.ron", &["0", "00"])
}

/// The show of the example whose display is on SPI.
pub fn lightship() -> TestShow {
    from_script("lightship", "examples/atmega328p-spi/lightship.ron", &[])
}

/// The show that is flashed first.
pub fn bringup() -> TestShow {
    from_script("bringup", "scenes/bringup.ron", &[])
}

/// The same for displays of another family.
pub fn bringup_of(family: &str) -> TestShow {
    from_script("bringup", &format!("examples/bringup/{family}.ron"), &[])
}

/// A show of the bench, planned for a player that does no more than every one.
pub fn plain() -> TestShow {
    let show = from_script("gauges", "scenes/bench/gauges-128x32.ron", &[]);
    compiled("gauges", show.panel, show.mounting, show.write_limit, show.scenes)
}

/// A show of the bench with a turning beam.
pub fn turning() -> TestShow {
    from_script("sweep", "scenes/bench/sweep.ron", &[])
}

/// A show of the bench with noise.
pub fn flickering() -> TestShow {
    from_script("grains", "scenes/bench/grains.ron", &[])
}

/// A show of the bench whose lines roll over a display without rows out of view.
pub fn rolling() -> TestShow {
    from_script("boot-128x64", "scenes/bench/boot-128x64.ron", &[])
}

/// A show of the bench with a part that goes round.
pub fn going_round() -> TestShow {
    from_script("gauges", "scenes/bench/gauges.ron", &[])
}

/// A show of the bench with areas that move beside and over one another.
pub fn board() -> TestShow {
    from_script("board", "scenes/bench/board.ron", &[])
}

/// A show of the bench whose pictures pass by.
pub fn passing_by() -> TestShow {
    from_script("alert", "scenes/bench/alert.ron", &[])
}

/// A show of the example with two displays.
pub fn of_two_displays(name: &'static str) -> TestShow {
    from_script(name, &format!("examples/two-displays/{name}.ron"), &[])
}
fn from_script(name: &'static str, path: &str, texts: &[&str]) -> TestShow {
    let (mut reader, mut findings) = (Reader::new(&Disk), Findings::default());
    let show = show::load(&mut reader, &root().join(path), &mut findings);
    let show = show.unwrap_or_else(|| panic!("{path} has faults"));
    let frames = render::render(&show);
    let made = reel::compile_lean(&show, &frames, &mut findings).expect("it fits");
    let display = reel::display_table(&show, &made);
    let Reel { bytes: reel, parts, lamps, fields, .. } = made;
    let lamp = |(lamp, table): (&Lamp, LampTable)| FirmwareLamp {
        name: lamp.name.clone(),
        table: table.bytes,
        scenes: lamp.scenes.iter().map(|scene| scene.0).collect(),
        cues: lamp.cues.iter().map(|cue| cue.0).collect(),
    };
    let field = |table: FieldTable| FirmwareField { name: table.name, cells: table.cells, table: table.bytes };
    let scenes = show.scenes().iter().zip(frames).map(|(scene, frames)| {
        let live = written(&show, scene, &frames, texts);
        TestScene { live, ..as_seen(scene, frames) }
    });
    let scenes = scenes.collect();
    let scene_names = show.scenes().iter().map(|scene| scene.name.clone()).collect();
    TestShow {
        name,
        panel: show.panel().clone(),
        mounting: *show.mounting(),
        write_limit: show.bus().write_limit as u8,
        reel,
        parts,
        names: [scene_names, show.triggers().to_vec(), show.cues().to_vec()],
        lamps: show.lamps().iter().zip(lamps).map(lamp).collect(),
        fields: fields.into_iter().map(field).collect(),
        display,
        unacknowledged: false,
        spi: show.bus().is_spi(),
        start: show.start().0,
        scenes,
    }
}

/// Every frame with every text in every field of the scene.
fn written(show: &Show, scene: &Scene, frames: &[Bitmap], texts: &[&str]) -> Vec<Bitmap> {
    let mut pictures = Vec::new();
    for (field, text) in scene.fields.iter().flat_map(|field| texts.iter().map(move |text| (field, text))) {
        pictures.extend(frames.iter().cloned().map(|mut picture| {
            render::write_live(show, field, text, &mut picture);
            picture
        }));
    }
    pictures
}

fn as_seen(scene: &Scene, frames: Vec<Bitmap>) -> TestScene {
    let at = |frame| scene.cues.iter().filter(|cue| cue.frame as usize == frame).map(|cue| cue.cue.0 as u8).collect();
    let then = match scene.then {
        Then::Hold => Next::Hold,
        Then::Repeat => Next::Repeat,
        Then::Scene(scene) => Next::Scene(scene.0 as u8),
        Then::Back => Next::Back,
    };
    let reaction = |reaction: &Reaction| match reaction {
        Reaction::Ignore => IGNORED,
        Reaction::Go(scene) => scene.0 as u8,
        Reaction::Back => BACK,
    };
    let reactions = scene.reactions.iter().map(reaction).collect();
    TestScene { cues: (0..frames.len()).map(at).collect(), frames, live: Vec::new(), then, reactions }
}

/// Three scenes drawn by rule: an opening, a sweep that repeats, an alert that triggers 0 and 1 lead to.
fn drawn(name: &'static str, panel: &str, mounting: Mounting, write_limit: u8) -> TestShow {
    let panel = panel::find(panel).expect("a panel of the table").clone();
    let (width, height) = mounting.view_size(&panel);
    let picture = |lit: &dyn Fn(i32, i32) -> bool| {
        let mut picture = Bitmap::new(width, height);
        let all = (0..height as i32).flat_map(|y| (0..width as i32).map(move |x| (x, y)));
        all.for_each(|(x, y)| picture.set(x, y, lit(x, y)));
        picture
    };
    let opening = (0..8).map(|at| picture(&|x, y| (x + y) % 9 < at && x > 2 * at)).collect();
    let sweep = (0..12).map(|at| picture(&|x, y| (x - 5 * at - y / 3).rem_euclid(60) < 3 || x * y % 31 == 7)).collect();
    let alert = (0..6).map(|at| picture(&|x, y| ((x + 2 * at) / 6 + y / 6) % 2 == 0)).collect();
    let scene = |frames: Vec<Bitmap>, cues: &[(usize, u8)], then, reactions: &[u8]| {
        let at = |frame| cues.iter().filter(|cue| cue.0 == frame).map(|cue| cue.1).collect();
        TestScene {
            cues: (0..frames.len()).map(at).collect(),
            frames,
            live: Vec::new(),
            then,
            reactions: reactions.into(),
        }
    };
    let scenes = vec![
        scene(opening, &[(0, 3), (5, 1)], Next::Scene(1), &[2, IGNORED]),
        scene(sweep, &[(0, 0), (6, 4), (6, 2)], Next::Repeat, &[2, 0]),
        scene(alert, &[(0, 9), (5, 7)], Next::Hold, &[2, 1]),
    ];
    compiled(name, panel, mounting, write_limit, scenes)
}

/// The scenes as a show for a panel, whatever it was drawn for.
pub fn compiled(
    name: &'static str,
    panel: Panel,
    mounting: Mounting,
    write_limit: u8,
    scenes: Vec<TestScene>,
) -> TestShow {
    let usual = panel.highest_safe_contrast().min(90);
    let wires = Wires::I2c { address: 0x3C, acknowledged: true };
    let wire = BusSettings { wires, clock: Hertz(400_000), write_limit: write_limit.into(), per_call: 16 };
    let planner = reel::planner(&panel, &mounting, &wire);
    let plan = |scene: &TestScene| {
        let pictures = scene.frames.iter().map(|picture| reel::columns(&panel, &mounting, picture)).collect();
        let contrast = vec![usual; scene.frames.len()];
        reel::plan_scene(
            &SceneFrames {
                live: Default::default(),
                dimming: None,
                pictures,
                cues: scene.cues.clone(),
                contrast,
                then: scene.then,
                off: vec![],
                owned: vec![],
                sweep: None,
            },
            &planner,
        )
    };
    let planned: Vec<_> = scenes.iter().map(plan).collect();
    let header = Header {
        address: panel.address_on(&wire),
        write_limit,
        frame_rate: FrameRate::new(20).expect("in range"),
        start: 0,
        reactions: scenes.iter().map(|scene| scene.reactions.clone()).collect(),
        live: Vec::new(),
        set_up: set_up_commands(&panel, &mounting, usual),
    };
    let (reel, _) = reel::encode(&header, &planned);
    let names = [const { Vec::new() }; 3];
    TestShow {
        name,
        panel,
        mounting,
        write_limit,
        reel,
        parts: PlayerParts::default(),
        names,
        lamps: Vec::new(),
        fields: Vec::new(),
        display: vec![100, 0],
        unacknowledged: false,
        spi: false,
        start: 0,
        scenes,
    }
}
