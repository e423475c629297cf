//! Compares what was sent with the course of the show: which frames were recognised, and where the two differ and agree again.

use super::course::{CellRange, ExpectedBytes, TaggedByte};
use super::decoded::DisplayByte;
use crate::show::{Reaction, Show, Then};

/// Fewest bytes that tell a place in the show by themselves.
const TELLING: usize = 8;
/// After a deviation, this number of bytes is searched for a place where the show continues.
const SEARCHED: usize = 60_000;

/// What a stretch of bytes is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// The set-up of the display.
    SetUp,
    /// A frame of a scene; the number of frames means the way back to the first.
    Frame {
        /// The number of the scene.
        scene: usize,
        /// The number of the frame, from 0.
        frame: usize,
    },
    /// Registers that the supervisor sends again.
    Refresh,
    /// A piece of a live field.
    Field,
}

/// A recognised part: its first item, and the one after its last.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seen {
    pub what: What,
    pub from: usize,
    pub to: usize,
}

/// Where bytes differ from the course.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Deviation {
    /// What was expected, and where it began.
    pub what: What,
    pub from: usize,
    /// The first item that differs, and what should have come; none if more came than should.
    pub at: usize,
    pub expected: Option<TaggedByte>,
    /// Where a place of the show was recognised again; none if nowhere.
    pub again: Option<usize>,
}

/// What was recognised.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Comparison {
    /// The stretches that were recognised, in order.
    pub seen: Vec<Seen>,
    /// Where bytes differ from what the show sends.
    pub deviations: Vec<Deviation>,
    /// Items in front of the first that was recognised, where the capture began within the show.
    pub before: usize,
}

/// Where the show stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct ShowPlace {
    scene: usize,
    /// The frame that comes next.
    frame: usize,
}

struct Follower<'a> {
    show: &'a Show,
    course: &'a ExpectedBytes,
    items: &'a [DisplayByte],
}

/// Holds the items against the course.
pub fn compare(show: &Show, course: &ExpectedBytes, items: &[DisplayByte]) -> Comparison {
    let follower = Follower { show, course, items };
    let mut comparison = Comparison::default();
    let (mut at, mut place) = (0, None);
    while at < items.len() {
        let (what, length, whole) = follower.best(at, place);
        if let Some(what) = what.filter(|_| whole) {
            comparison.seen.push(Seen { what, from: at, to: at + length });
            at += length;
            place = follower.after(what, place);
            continue;
        }
        if at + length == items.len() && length > 0 {
            break; // the capture ends within it
        }
        if let Some(length) = follower.field_piece(at) {
            comparison.seen.push(Seen { what: What::Field, from: at, to: at + length });
            at += length;
            continue;
        }
        let again = follower.search(at + 1);
        let nothing_yet = comparison.seen.is_empty() && comparison.deviations.is_empty();
        match what {
            // A capture that begins within the show and comes to it is no deviation.
            _ if nothing_yet && length == 0 && again.is_some() => comparison.before = again.unwrap_or(0),
            _ => {
                let what = what.unwrap_or(What::SetUp);
                let expected = follower.parts(what).get(length).copied();
                comparison.deviations.push(Deviation { what, from: at, at: at + length, expected, again });
            }
        }
        let Some(next) = again else { break };
        (at, place) = (next, None);
    }
    comparison
}

impl<'a> Follower<'a> {
    fn parts(&self, what: What) -> &[TaggedByte] {
        match what {
            What::SetUp => &self.course.set_up,
            What::Frame { scene, frame } => &self.course.scenes[scene][frame].parts,
            What::Refresh => &self.course.refresh,
            What::Field => &[],
        }
    }

    /// How many items are a piece of a live field: page and column within it, then display data.
    fn field_piece(&self, at: usize) -> Option<usize> {
        const SEEK: usize = 3;
        let items = self.items.get(at..)?;
        let [page, low, high] = *items.get(..SEEK)? else { return None };
        let column = (low.byte & 0x0F) | high.byte << 4;
        let seeks =
            !page.data && !low.data && !high.data && page.byte >> 4 == 0xB && low.byte >> 4 == 0 && high.byte >> 4 == 1;
        let within = |cells: &CellRange| cells.pages.contains(&(page.byte & 0x0F)) && cells.columns.contains(&column);
        let data = items[SEEK..].iter().take_while(|item| item.data).count();
        (seeks && data > 0 && self.course.fields.iter().any(within)).then_some(SEEK + data)
    }

    /// How many items from one on are those of some bytes.
    fn alike(&self, at: usize, parts: &[TaggedByte]) -> usize {
        let items = self.items[at..].iter().map(|item| (item.byte, item.data));
        items.zip(parts).take_while(|(item, part)| item == *part).count()
    }

    /// Of all that may come the one that fits best: what, how many bytes of it, and whether all.
    fn best(&self, at: usize, place: Option<ShowPlace>) -> (Option<What>, usize, bool) {
        let mut best = (None, 0, false);
        for what in self.candidates(place) {
            let parts = self.parts(what);
            let length = self.alike(at, parts);
            let whole = length == parts.len() && length > 0;
            // The first of those alike counts, which is what comes by itself.
            if best.0.is_none() || (whole, length) > (best.2, best.1) {
                best = (Some(what), length, whole);
            }
        }
        best
    }

    /// What may come next, what comes by itself first. Frames that send nothing are passed over.
    fn candidates(&self, place: Option<ShowPlace>) -> Vec<What> {
        let Some(place) = place else {
            let all = (0..self.course.scenes.len())
                .flat_map(|scene| (0..self.course.scenes[scene].len()).map(move |frame| What::Frame { scene, frame }));
            let telling = |what: &What| self.parts(*what).len() >= TELLING;
            return std::iter::once(What::SetUp).chain(all.filter(telling)).collect();
        };
        let mut candidates = Vec::new();
        let frames = &self.course.scenes[place.scene];
        if let Some(frame) = (place.frame..frames.len()).find(|frame| !frames[*frame].parts.is_empty()) {
            candidates.push(What::Frame { scene: place.scene, frame });
        }
        let scene = &self.show.scenes()[place.scene];
        let (mut opens, mut back) = (Vec::new(), scene.then == Then::Back);
        if let Then::Scene(next) = scene.then {
            opens.push(next.0);
        }
        for reaction in &scene.reactions {
            match reaction {
                Reaction::Go(next) => opens.push(next.0),
                Reaction::Back => back = true,
                Reaction::Ignore => {}
            }
        }
        if back {
            opens.extend(0..self.course.scenes.len());
        }
        // The same frames again, where all of them send nothing but the first few.
        if scene.then == Then::Repeat
            && let Some(frame) = (1..frames.len()).find(|frame| !frames[*frame].parts.is_empty())
        {
            candidates.push(What::Frame { scene: place.scene, frame });
        }
        candidates.extend(opens.into_iter().map(|scene| What::Frame { scene, frame: 0 }));
        // After a restart.
        candidates.extend([What::SetUp, What::Frame { scene: place.scene, frame: 0 }]);
        if !self.course.refresh.is_empty() {
            candidates.push(What::Refresh);
        }
        candidates
    }

    fn after(&self, what: What, place: Option<ShowPlace>) -> Option<ShowPlace> {
        match what {
            What::SetUp => Some(ShowPlace { scene: place.map_or(self.show.start().0, |place| place.scene), frame: 0 }),
            What::Refresh | What::Field => place,
            What::Frame { scene, frame } => {
                let repeats = self.show.scenes()[scene].then == Then::Repeat;
                let last = self.course.scenes[scene].len() - 1;
                Some(ShowPlace { scene, frame: if repeats && frame == last { 1 } else { frame + 1 } })
            }
        }
    }

    /// The first transaction from an item on in which some frame of the show, or its set-up, is recognised whole.
    fn search(&self, from: usize) -> Option<usize> {
        let candidates = self.candidates(None);
        let end = self.items.len().min(from.saturating_add(SEARCHED));
        (from..end).filter(|at| self.items[*at].transaction != self.items[at - 1].transaction).find(|at| {
            let whole = |what: &What| {
                let parts = self.parts(*what);
                parts.len() >= TELLING && self.alike(*at, parts) == parts.len()
            };
            candidates.iter().any(whole)
        })
    }
}
