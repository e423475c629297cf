//! Replays a run's bus into the controller model and holds what the display showed against what it should.

use super::shows::TestShow;
use super::simulator::{Event, Run};
use pageloom::emulator::Emulator;
use pageloom::reel::{BACK, IGNORED, Next};
use pageloom::render::Bitmap;
use std::collections::VecDeque;

/// Marks of the test firmware: a whole frame with its scene, a cue, a trigger as it is raised or a fault.
const FRAME: u8 = 0;
const CUE: u8 = 1;
const FAULTY: u8 = 255;
/// Watched bytes of the player, in the order of `WATCHED`.
const SCENE: u8 = 0;
/// Options by which the simulator watches the player's scene and its count of triggers taken up: fields of player.h,
/// whose offsets follow from their order, since the part pads nothing.
pub const WATCHED: &str = "-W player+8 -W player+13";

/// What the viewer saw, and what the firmware was told.
#[derive(Clone, Debug)]
pub enum Sight {
    /// A frame was whole: when, in which scene, and what the display showed.
    Frame { cycle: u64, scene: u8, picture: Bitmap },
    /// A cue was handed to the firmware.
    Cue(u8),
    /// The player reported a fault and was restarted.
    Fault,
    /// A trigger is raised.
    Trigger(u8),
    /// The player took up the triggers raised so far: how many that is since the start, ignored ones left out.
    TakenUp(u8),
    /// The player entered another scene.
    Scene(u8),
}

/// The run as seen in front of the display, and the display at its end.
pub fn sights(show: &TestShow, run: &Run) -> (Vec<Sight>, Emulator) {
    let mut display = show.display_on_the_bus();
    let mut sights = Vec::new();
    for &(cycle, event) in &run.events {
        match event {
            Event::Start(address, true) => drop(display.start(address)),
            Event::Byte(byte, true) => drop(display.write(byte)),
            // A byte that was refused did not reach the display.
            Event::Start(_, false) | Event::Byte(_, false) => {}
            Event::Stop | Event::Abandoned => display.stop(),
            Event::Mark(FRAME, scene) => {
                sights.push(Sight::Frame { cycle, scene, picture: display.as_mounted(&show.mounting) });
            }
            Event::Mark(CUE, cue) => sights.push(Sight::Cue(cue)),
            Event::Mark(_, FAULTY) => sights.push(Sight::Fault),
            Event::Mark(_, trigger) => sights.push(Sight::Trigger(trigger)),
            Event::Watch(SCENE, scene) => sights.push(Sight::Scene(scene)),
            Event::Watch(_, count) => sights.push(Sight::TakenUp(count)),
            Event::Present(there) => {
                if there {
                    display = show.display_on_the_bus().with_noise(cycle);
                }
            }
            Event::Pin(..) | Event::Serial(_) | Event::Call(..) => {}
        }
    }
    (sights, display)
}

/// Where a show stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Position {
    pub scene: usize,
    pub frame: usize,
}

/// What must be seen next, worked out from the show alone.
struct Expectation<'a> {
    show: &'a TestShow,
    /// The frame being sent or due next; of a scene that holds, its last one again.
    position: Position,
    held: bool,
    /// The scene of the frame being sent, or sent last.
    playing: usize,
    former: usize,
    /// Where the triggers lead that were raised and count, but were not taken up yet.
    raised: VecDeque<usize>,
    /// How many were taken up or passed over by later ones.
    count: u8,
}

impl<'a> Expectation<'a> {
    fn new(show: &'a TestShow) -> Self {
        let position = Position { scene: show.start, frame: 0 };
        let (playing, former) = (show.start, show.start);
        Self { show, position, held: false, playing, former, raised: VecDeque::new(), count: 0 }
    }
    fn raise(&mut self, trigger: u8) {
        match self.show.scenes[self.playing].reactions[usize::from(trigger)] {
            IGNORED => {}
            BACK => self.raised.push_back(self.former),
            scene => self.raised.push_back(scene.into()),
        }
    }
    /// Follows the trigger with which the count came to `count`, the last of those taken up together.
    fn take_up(&mut self, count: u8) {
        let name = self.show.name;
        while self.count != count {
            let target = self.raised.pop_front();
            let target = target.unwrap_or_else(|| panic!("{name}: {count} triggers taken up, more than were raised"));
            self.count = self.count.wrapping_add(1);
            self.position = Position { scene: target, frame: 0 };
        }
        self.held = false;
        if self.position.scene != self.playing {
            self.former = self.playing;
        }
    }
    fn enter(&mut self, scene: usize) {
        self.position = Position { scene, frame: 0 };
        self.held = false;
    }
    fn wanted(&self) -> (&Bitmap, &[u8]) {
        let scene = &self.show.scenes[self.position.scene];
        (&scene.frames[self.position.frame], &scene.cues[self.position.frame])
    }
    /// The frame is whole and seen.
    fn go_on(&mut self) {
        let Position { scene, frame } = self.position;
        if frame + 1 < self.show.scenes[scene].frames.len() {
            self.position.frame += 1;
            return;
        }
        match self.show.scenes[scene].then {
            Next::Hold => self.held = true,
            Next::Repeat => self.enter(scene),
            Next::Scene(scene) => self.enter(scene.into()),
            Next::Back => self.enter(self.former),
        }
    }
}

/// Requires that the sights are exactly the show's frames in order, each with its cues: after a trigger the frame being
/// sent is ended and then its scene opens; after a fault the scene opens again. Returns the frames seen.
pub fn require_the_show(show: &TestShow, sights: &[Sight]) -> Vec<Position> {
    let (name, mut seen, mut cues) = (show.name, Vec::new(), Vec::new());
    let mut expected = Expectation::new(show);
    for sight in sights {
        let after = seen.iter().rev().take(3).collect::<Vec<_>>();
        match sight {
            Sight::Cue(cue) => cues.push(*cue),
            Sight::Trigger(trigger) => expected.raise(*trigger),
            Sight::Scene(scene) => {
                let wanted = expected.position;
                assert_eq!(usize::from(*scene), wanted.scene, "{name}: entered after {after:?}, wanted {wanted:?}");
                expected.playing = wanted.scene;
            }
            Sight::TakenUp(count) => {
                let begun = cues == expected.wanted().1 || cues.is_empty();
                assert!(begun, "{name}: cues {cues:?} before a trigger at {:?}", expected.position);
                expected.take_up(*count);
                cues.clear();
            }
            Sight::Fault => {
                expected.enter(expected.playing);
                cues.clear();
            }
            Sight::Frame { scene, picture, .. } => {
                let (position, (wanted, wanted_cues)) = (expected.position, expected.wanted());
                assert!(!expected.held, "{name}: after {after:?} a frame behind a scene that holds");
                assert_eq!(usize::from(*scene), position.scene, "{name}: scene after {after:?}, wanted {position:?}");
                assert!(picture == wanted, "{name}: {position:?} after {after:?} showed\n{picture}\nwanted\n{wanted}");
                assert_eq!(cues, wanted_cues, "{name}: cues at {position:?}");
                // A trigger raised since the frame was whole is taken up before the next one begins.
                cues.clear();
                seen.push(position);
                expected.go_on();
            }
        }
    }
    seen
}
