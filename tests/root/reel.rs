//! Random scenes, planned, encoded, played by the shipped player into the controller model: every frame on the display is the
//! frame asked for, on every display, however it is mounted, however few bytes a tick may send.

use pageloom::emulator::Emulator;
use pageloom::panel::{BusSettings, Mounting, MountingTurn, Panel, Wires, panels, set_up_commands};
use pageloom::player::{Bus, Player, Status};
use pageloom::reel::{self, Header, Next, Planned, Planner, SceneFrames};
use pageloom::render::Bitmap;
use pageloom::units::{FrameRate, Hertz};
use proptest::prelude::*;

/// The controller model at the end of a bus that checks the write limit.
struct Link {
    display: Emulator,
    write_limit: usize,
    sent: usize,
    bytes: usize,
}

impl Bus for Link {
    type Error = ();
    fn start(&mut self, address: u8) -> Result<(), ()> {
        self.sent = 0;
        self.bytes += 1;
        if self.display.start(address) { Ok(()) } else { Err(()) }
    }
    fn write(&mut self, byte: u8) -> Result<(), ()> {
        self.sent += 1;
        self.bytes += 1;
        assert!(self.sent <= self.write_limit, "a transaction over the write limit");
        if self.display.write(byte) { Ok(()) } else { Err(()) }
    }
    fn stop(&mut self) -> Result<(), ()> {
        self.display.stop();
        Ok(())
    }
}

/// One change from picture to picture.
#[derive(Clone, Copy, Debug)]
enum Change {
    Nothing,
    Roll(i32),
    Shift(i32),
    Invert,
    Dots(u32),
    Clear,
}

fn change() -> impl Strategy<Value = Change> {
    prop_oneof![
        2 => Just(Change::Nothing),
        4 => (-9i32..9).prop_map(Change::Roll),
        2 => (-3i32..3).prop_map(Change::Shift),
        2 => Just(Change::Invert),
        4 => any::<u32>().prop_map(Change::Dots),
        1 => Just(Change::Clear),
    ]
}

fn changed(picture: &Bitmap, change: Change) -> Bitmap {
    let (width, height) = (picture.width(), picture.height());
    match change {
        Change::Nothing => picture.clone(),
        Change::Roll(rows) => picture.mapped(width, height, |x, y| (x, y + rows)),
        Change::Shift(columns) => picture.mapped(width, height, |x, y| (x + columns, y)),
        Change::Invert => picture.inverted(),
        Change::Clear => Bitmap::new(width, height),
        Change::Dots(seed) => {
            let mut dotted = picture.clone();
            let mut state = seed | 1;
            for _ in 0..1 + seed % 40 {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223); // Numerical Recipes' constants, from memory
                let (x, y) = ((state >> 8) % width, (state >> 20) % height);
                dotted.set(x as i32, y as i32, !dotted.get(x as i32, y as i32));
            }
            dotted
        }
    }
}

/// Changes one by one, and pictures that pass by for a while, as strips do.
fn course(most: usize) -> impl Strategy<Value = Vec<Change>> {
    let passing = (-3i32..4, 6usize..10).prop_map(|(columns, frames)| vec![Change::Shift(columns); frames]);
    let stretch = prop_oneof![6 => change().prop_map(|change| vec![change]), 1 => passing];
    prop::collection::vec(stretch, 1..most).prop_map(|stretches| stretches.concat())
}

fn turns() -> impl Strategy<Value = Mounting> {
    let turn = prop_oneof![
        Just(MountingTurn::Upright),
        Just(MountingTurn::Half),
        Just(MountingTurn::Left),
        Just(MountingTurn::Right)
    ];
    (turn, any::<bool>()).prop_map(|(turn, mirror)| Mounting { turn, mirror, opening: None })
}

/// The scenes' pictures as the viewer sees them.
fn pictures(panel: &Panel, mounting: &Mounting, scenes: &[Vec<Change>]) -> Vec<Vec<Bitmap>> {
    let (width, height) = mounting.view_size(panel);
    let mut picture = changed(&Bitmap::new(width, height), Change::Dots(0xDEAD_BEEF));
    let mut next = |change: &Change| {
        picture = changed(&picture, *change);
        picture.clone()
    };
    scenes.iter().map(|changes| changes.iter().map(&mut next).collect()).collect()
}

fn plan(
    (panel, mounting, wire): (&Panel, &Mounting, &BusSettings),
    (changes, rounds): (bool, bool),
    pictures: &[Vec<Bitmap>],
    thens: &[Next],
) -> Vec<Planned> {
    let planner = Planner { changes, rounds, ..reel::planner(panel, mounting, wire) };
    let scene = |(pictures, then): (&Vec<Bitmap>, &Next)| {
        let pictures: Vec<_> = pictures.iter().map(|picture| reel::columns(panel, mounting, picture)).collect();
        let frames = pictures.len();
        let scene_frames = SceneFrames {
            live: Default::default(),
            dimming: None,
            pictures,
            cues: vec![vec![]; frames],
            contrast: vec![contrast(panel); frames],
            then: *then,
            off: vec![],
            owned: vec![],
            sweep: None,
        };
        reel::plan_scene(&scene_frames, &planner)
    };
    pictures.iter().zip(thens).map(scene).collect()
}

fn contrast(panel: &Panel) -> u8 {
    panel.highest_safe_contrast().min(90)
}

/// Of a reel of so many scenes; a trigger leads to the first of them.
fn header((panel, mounting, wire): (&Panel, &Mounting, &BusSettings), scenes: usize) -> Header {
    Header {
        address: panel.address_on(wire),
        write_limit: wire.write_limit as u8,
        frame_rate: FrameRate::new(20).expect("in range"),
        start: 0,
        reactions: vec![vec![0]; scenes],
        live: Vec::new(),
        set_up: set_up_commands(panel, mounting, contrast(panel)),
    }
}

/// Pictures over which a block of dots comes round, lap by lap.
fn with_round(pictures: &[Bitmap], lap: usize, seed: u32) -> Vec<Bitmap> {
    let (width, height) = (pictures[0].width() * 2 / 3, pictures[0].height() / 2);
    let many = |turn: u32| seed.wrapping_add(turn << 20) / 41 * 40 + 39; // forty dots
    let turns: Vec<Bitmap> =
        (0..lap as u32).map(|turn| changed(&Bitmap::new(width, height), Change::Dots(many(turn)))).collect();
    let mut pictures = pictures.to_vec();
    for (frame, picture) in pictures.iter_mut().enumerate() {
        for (x, y) in (0..width as i32).flat_map(|x| (0..height as i32).map(move |y| (x, y))) {
            picture.set(x + 5, y, turns[frame % lap].get(x, y));
        }
    }
    pictures
}

/// Plays one frame to its end; returns what was sent.
fn play_frame(player: &mut Player<'_>, link: &mut Link, now: u16, allowance: u8) -> Result<(), TestCaseError> {
    for _ in 0..4000 {
        let before = link.bytes;
        let status = player.tick(link, now, allowance);
        prop_assert!(link.bytes - before <= usize::from(allowance.max(12)), "a tick over its allowance");
        match status {
            Status::Idle => return Ok(()),
            Status::Busy | Status::Cue(_) => {}
            Status::Fault => return Err(TestCaseError::fail("the player reports a fault")),
        }
    }
    Err(TestCaseError::fail("the frame never ends"))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]
    #[test]
    fn the_glass_shows_every_frame_of_every_scene(
        panel in (0..panels().len()).prop_map(|at| panels()[at].clone()),
        mounting in turns(),
        first in course(14),
        second in course(10),
        changes in any::<bool>(),
        write_limit in 9u16..80,
        allowance in 12u8..90,
        trigger_at in 0u16..20,
    ) {
        let wires = Wires::I2c { address: 0x3C, acknowledged: true };
        let wire = BusSettings { wires, clock: Hertz(400_000), write_limit, per_call: u16::from(allowance) };
        let pictures = pictures(&panel, &mounting, &[first, second]);
        let planned = plan((&panel, &mounting, &wire), (changes, false), &pictures, &[Next::Scene(1), Next::Repeat]);
        let (bytes, _) = reel::encode(&header((&panel, &mounting, &wire), 2), &planned);
        let mut link = Link { display: Emulator::new(&panel).at_address(panel.address_on(&wire)), write_limit: usize::from(write_limit), sent: 0, bytes: 0 };
        let mut player = Player::new(&bytes);
        let mut frame = 0;
        for step in 0..(pictures[0].len() + 3 * pictures[1].len()) as u16 {
            if step == trigger_at {
                player.trigger(0);
                frame = 0;
            }
            play_frame(&mut player, &mut link, step.wrapping_mul(50), allowance)?;
            let first_length = pictures[0].len();
            let (scene, at) = if frame < first_length { (0, frame) } else { (1, (frame - first_length) % pictures[1].len()) };
            let shown = link.display.as_mounted(&mounting);
            prop_assert_eq!(usize::from(player.scene()), scene);
            prop_assert!(shown == pictures[scene][at], "{} scene {scene} frame {at}:\n{shown}\nwanted:\n{}", panel.name, pictures[scene][at]);
            frame += 1;
        }
        prop_assert!(link.display.faults().is_empty(), "{:?}", link.display.faults());
    }

    #[test]
    fn the_glass_shows_every_frame_of_a_scene_with_a_part_that_goes_round(
        panel in (0..panels().len()).prop_map(|at| panels()[at].clone()),
        mounting in turns(),
        course in prop::collection::vec(prop_oneof![3 => Just(Change::Nothing), 1 => change()], 8..30),
        lap in 2usize..6,
        seed in any::<u32>(),
        repeats in any::<bool>(),
        write_limit in 9u16..80,
        allowance in 12u8..90,
        trigger_at in 0u16..40,
    ) {
        let wires = Wires::I2c { address: 0x3C, acknowledged: true };
        let wire = BusSettings { wires, clock: Hertz(400_000), write_limit, per_call: u16::from(allowance) };
        let pictures = with_round(&pictures(&panel, &mounting, &[course])[0], lap, seed);
        let then = if repeats { Next::Repeat } else { Next::Hold };
        let planned = plan((&panel, &mounting, &wire), (false, true), std::slice::from_ref(&pictures), &[then]);
        // On its side, the lowest display has no page that the block covers.
        let has_whole_laps = pictures.len().is_multiple_of(lap) || !repeats;
        let may_have_none = panel.height < 32 || !has_whole_laps || pictures.len() < 2 * lap;
        prop_assert!(planned[0].goes_round() || may_have_none);
        let (bytes, _) = reel::encode(&header((&panel, &mounting, &wire), 1), &planned);
        let mut link = Link { display: Emulator::new(&panel).at_address(panel.address_on(&wire)), write_limit: usize::from(write_limit), sent: 0, bytes: 0 };
        let mut player = Player::new(&bytes);
        let (mut frame, length) = (0, pictures.len());
        for step in 0..3 * length as u16 {
            if step == trigger_at {
                player.trigger(0);
                frame = 0;
            }
            play_frame(&mut player, &mut link, step.wrapping_mul(50), allowance)?;
            let at = if repeats { frame % length } else { frame.min(length - 1) };
            let shown = link.display.as_mounted(&mounting);
            prop_assert!(shown == pictures[at], "{} frame {at}:\n{shown}\nwanted:\n{}", panel.name, pictures[at]);
            frame += 1;
        }
        prop_assert!(link.display.faults().is_empty(), "{:?}", link.display.faults());
    }
}
