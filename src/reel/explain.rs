//! What each byte of a reel is used for: by scene and kind of instruction, the largest first.

use super::encode::Layout;
use super::listing::list;
use super::operations::operation_of;
use std::collections::BTreeMap;

/// The bytes that one kind of instruction takes in one part of the reel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Share {
    /// The scene's number; `None` for bytes of the whole show.
    pub scene: Option<usize>,
    /// What the bytes are, in words.
    pub kind: &'static str,
    /// How many instructions; 1 for a table.
    pub count: usize,
    pub bytes: usize,
}

/// Splits all bytes of `reel`, which was encoded with this layout, by use; the largest part first.
pub fn explain(reel: &[u8], layout: &Layout) -> Vec<Share> {
    let own = |kind, bytes| Share { scene: None, kind, count: 1, bytes };
    let mut shares = vec![
        own("header and tables", layout.header_bytes),
        own("set-up of the display", layout.set_up_bytes),
        own("contrasts by live values", layout.contrast_bytes),
        own("probability model", layout.model_bytes),
    ];
    let elsewhere = if layout.strip_bytes > 0 { "strips of moving pictures" } else { "entropy-coded streams" };
    for (number, scene) in layout.scenes.iter().enumerate() {
        let mut kinds: BTreeMap<&'static str, (usize, usize)> = BTreeMap::new();
        for line in list(reel, scene.offset, scene.offset + scene.bytes) {
            let (count, bytes) = kinds.entry(purpose(reel[line.offset])).or_default();
            *count += 1;
            *bytes += line.length;
        }
        let share = |(kind, (count, bytes))| Share { scene: Some(number), kind, count, bytes };
        shares.extend(kinds.into_iter().map(share));
        for (kind, bytes) in [(elsewhere, scene.stream_bytes), ("sheets of the areas", scene.area_bytes)] {
            shares.push(Share { scene: Some(number), kind, count: 1, bytes });
        }
    }
    shares.retain(|share| share.bytes > 0);
    shares.sort_by_key(|share| std::cmp::Reverse(share.bytes));
    shares
}

fn purpose(number: u8) -> &'static str {
    operation_of(number).map_or("unknown", |row| row.purpose)
}

#[cfg(test)]
mod tests {
    use super::super::{Cost, Header, Next, PageBitmap, Planner, SceneFrames, encode, plan_scene};
    use super::*;
    use crate::units::{FrameRate, Nanoseconds};

    #[test]
    fn the_shares_are_all_of_the_reel_and_fall_in_size() {
        let cost = Cost::new(Nanoseconds(22_500), Nanoseconds(47_500), 32, true);
        let planner = Planner {
            cost,
            first_column: 28,
            controller: crate::panel::controller("SSD1306").expect("known"),
            first_line: 0,
            operations: true,
            owned: vec![],
            live: Default::default(),
            changes: true,
            rolls: false,
            rounds: true,
        };
        let picture =
            |frame: usize| PageBitmap::new(16, (0..30).map(move |x| ((x + frame) * (x + frame) % 251) as u128));
        let pictures: Vec<PageBitmap> = (0..12).map(picture).collect();
        let scene_frames = SceneFrames {
            cues: vec![vec![]; 12],
            contrast: vec![90; 12],
            pictures,
            then: Next::Repeat,
            off: vec![],
            owned: vec![],
            live: Default::default(),
            dimming: None,
            sweep: None,
        };
        let frame_rate = FrameRate::new(20).expect("in range");
        let (reactions, set_up) = (vec![vec![]], vec![vec![0xAE]]);
        let header =
            Header { address: 0x3C, write_limit: 32, frame_rate, start: 0, reactions, live: Vec::new(), set_up };
        let (reel, layout) = encode(&header, &[plan_scene(&scene_frames, &planner)]);
        let shares = explain(&reel, &layout);
        assert_eq!(shares.iter().map(|share| share.bytes).sum::<usize>(), reel.len());
        assert!(shares.windows(2).all(|pair| pair[0].bytes >= pair[1].bytes));
        assert!(shares.iter().all(|share| share.kind != "unknown"));
        assert!(shares.iter().any(|share| share.kind == "pictures from strips"), "{shares:?}");
    }
}
