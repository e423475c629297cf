//! What the show sends, byte by byte: its set-up, each scene's frames from its opening on, and what is sent again now and then.

use crate::emulator::Playback;
use crate::panel::set_up_commands;
use crate::player::Bus;
use crate::reel::{FieldTable, Reel, period, refresh_groups, starting_with};
use crate::show::{SceneId, Show, Then};
use crate::units::Nanoseconds;
use std::convert::Infallible;

/// A byte and whether it is display data.
pub type TaggedByte = (u8, bool);

/// A frame as the show sends it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sent {
    pub parts: Vec<TaggedByte>,
    /// How long bus and CPU take for it, as modelled.
    pub taken: Nanoseconds,
}

/// Everything that the show can send.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ExpectedBytes {
    /// The bytes of the set-up.
    pub set_up: Vec<TaggedByte>,
    /// Scene by scene its frames; one that repeats has one frame more, the way back to its first.
    pub scenes: Vec<Vec<Sent>>,
    /// What the supervisor sends again.
    pub refresh: Vec<TaggedByte>,
    /// Where the firmware writes into live fields.
    pub fields: Vec<CellRange>,
}

/// Cells of the display's memory; both ends are included.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CellRange {
    pub pages: std::ops::RangeInclusive<u8>,
    pub columns: std::ops::RangeInclusive<u8>,
}

/// The far end of the wires: keeps what comes, control bytes left out.
#[derive(Default)]
struct ByteSink {
    parts: Vec<TaggedByte>,
    control: Option<bool>,
}

impl Bus for ByteSink {
    type Error = Infallible;
    fn start(&mut self, _: u8) -> Result<(), Infallible> {
        self.control = None;
        Ok(())
    }
    fn write(&mut self, byte: u8) -> Result<(), Infallible> {
        match self.control {
            None => self.control = Some(byte & 0x40 != 0),
            Some(data) => self.parts.push((byte, data)),
        }
        Ok(())
    }
    fn stop(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}

/// Plays every scene of a reel from its opening.
pub fn course(show: &Show, reel: &Reel) -> ExpectedBytes {
    let contrast = show.scenes().get(show.start().0).map_or(0, |scene| scene.contrast_at(0.0));
    let set_up: Vec<TaggedByte> = set_up_commands(show.panel(), show.mounting(), contrast)
        .concat()
        .into_iter()
        .map(|byte| (byte, false))
        .collect();
    let scene = |number| scene(show, &reel.bytes, SceneId(number), &set_up);
    let scenes = (0..show.scenes().len()).map(scene).collect();
    ExpectedBytes {
        refresh: refresh(show, reel),
        fields: reel.fields.iter().filter_map(cells).collect(),
        scenes,
        set_up,
    }
}

fn scene(show: &Show, reel: &[u8], scene: SceneId, set_up: &[TaggedByte]) -> Vec<Sent> {
    let reel = starting_with(reel, scene);
    let (milliseconds, fraction) = period(show.frame_rate());
    let ticks = u64::from(milliseconds) << 8 | u64::from(fraction);
    let mut playback = Playback::new(&reel, ByteSink::default(), ticks, show.bus(), show.microcontroller());
    let played = &show.scenes()[scene.0];
    let frames = u64::from(played.frames.0) + u64::from(played.then == Then::Repeat);
    let frame = |frame: u64| {
        let frame = u32::try_from(frame % u64::from(played.frames.0)).unwrap_or(0);
        playback.set_live(&show.live_samples(show.frame_rate().seconds_at(frame)));
        let time = playback.frame().ok()?.time;
        let parts = std::mem::take(&mut playback.parts().1.far_end.parts);
        Some(Sent { parts, taken: time.taken() })
    };
    let mut sent: Vec<Sent> = (0..frames).map_while(frame).collect();
    if let Some(first) = sent.first_mut()
        && first.parts.starts_with(set_up)
    {
        first.parts.drain(..set_up.len());
    }
    sent
}

/// Where a field lies, from its table: column, page, pages, cells and columns of a cell stand behind the scene.
fn cells(field: &FieldTable) -> Option<CellRange> {
    let [_, column, page, pages, cells, columns, ..] = *field.bytes else { return None };
    let (last_page, last) = (page + pages.saturating_sub(1), column.saturating_add(cells.saturating_mul(columns)));
    Some(CellRange { pages: page..=last_page, columns: column..=last.saturating_sub(1) })
}

fn refresh(show: &Show, reel: &Reel) -> Vec<TaggedByte> {
    refresh_groups(show, reel).concat().into_iter().map(|byte| (byte, false)).collect()
}
