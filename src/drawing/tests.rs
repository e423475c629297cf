//! Edits in place: pixels come back as they were set, and every other byte of meaning stays.

use super::editable::EditablePng;
use super::ron::RonPlace;
use super::*;
use crate::source::{FilesInMemory, LIMITS};
use crate::whole::limited;
use image::AnimationDecoder;
use proptest::prelude::*;
use std::path::Path;

const RON: &str = "// Head.\nFont(\n    name: \"A\", // a name\n    baseline: 5 /* rows */,\n    kerning: {\"AV\": -1, \"LT\": -2},\n    cells: [\"AB\"], // cells\n)\n";

#[test]
fn a_field_changes_and_every_comment_stays() {
    let set = |place: RonPlace, value| place.with(RON, value).expect("a record");
    assert_eq!(set(RonPlace::field("baseline"), Some("4")), RON.replace("5 /*", "4 /*"));
    assert_eq!(set(RonPlace::field("space"), Some("3")), RON.replace("cells:", "space: 3,\n    cells:"));
    assert_eq!(set(RonPlace::entry("kerning", "LT"), Some("1")), RON.replace("-2", "1"));
    assert_eq!(set(RonPlace::entry("kerning", "T\""), Some("1")), RON.replace("-2", "-2, \"T\\\"\": 1"));
    assert_eq!(set(RonPlace::entry("kerning", "LT"), None), RON.replace(", \"LT\": -2", ""));
    assert_eq!(set(RonPlace::entry("kerning", "AV"), None), RON.replace("\"AV\": -1, ", ""));
    assert_eq!(
        set(RonPlace::entry("advances", "A"), Some("4")),
        RON.replace("cells:", "advances: {\"A\": 4},\n    cells:")
    );
    assert_eq!(RonPlace::entry("kerning", "LT").value(RON), Ok(Some("-2".into())));
    assert_eq!(RonPlace::field("baseline").value(RON), Ok(Some("5".into())));
    assert_eq!(RonPlace::field("space").value(RON), Ok(None));
    assert!(RonPlace::field("baseline").with("Font(", Some("1")).is_err());
}

proptest! {
    #[test]
    fn what_was_put_into_a_text_can_be_taken_out_again(
        pairs in prop::collection::vec(("[A-Z\"\\\\é{]{2}", -9i32..9), 1..6),
    ) {
        let mut texts = vec![RON.to_owned()];
        let mut undo = Vec::new();
        for (key, value) in &pairs {
            let place = RonPlace::entry("kerning", key.as_str());
            let last = texts.last().expect("one").clone();
            undo.push((place.clone(), place.value(&last).expect("readable")));
            texts.push(place.with(&last, Some(&value.to_string())).expect("a map"));
            prop_assert_eq!(place.value(texts.last().expect("one")), Ok(Some(value.to_string())));
        }
        while let (Some((place, before)), Some(text)) = (undo.pop(), texts.pop()) {
            prop_assert_eq!(&place.with(&text, before.as_deref()).expect("a map"), texts.last().expect("one"));
        }
    }
}

type At = (u32, u32);

/// A PNG of a colour type and depth with any pixels, and text chunks before and behind them.
fn any_png(kind: png::ColorType, depth: png::BitDepth, (width, height): At, seed: &[u8]) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(kind);
    encoder.set_depth(depth);
    if kind == png::ColorType::Indexed {
        encoder.set_palette(
            (0..(1u32 << (depth as usize).min(4)) * 3).map(|at| limited(at * 37 % 251)).collect::<Vec<_>>(),
        );
    }
    encoder.add_text_chunk("Title".into(), "a sheet".into()).expect("a text");
    let mut writer = encoder.write_header().expect("a head");
    let size = (width as usize * kind.samples() * depth as usize).div_ceil(8) * height as usize;
    let data: Vec<u8> = seed.iter().copied().cycle().take(size).collect();
    let data = if kind == png::ColorType::Indexed && depth == png::BitDepth::Eight {
        data.into_iter().map(|index| index % 16).collect()
    } else {
        data
    };
    writer.write_image_data(&data).expect("rows");
    writer
        .write_text_chunk(&png::text_metadata::TEXtChunk { keyword: "Comment".into(), text: "behind".into() })
        .expect("a text");
    writer.finish().expect("whole");
    bytes
}

fn kinds() -> impl Strategy<Value = (png::ColorType, png::BitDepth)> {
    use png::{BitDepth::*, ColorType::*};
    prop::sample::select(vec![
        (Grayscale, One),
        (Grayscale, Two),
        (Grayscale, Four),
        (Grayscale, Eight),
        (Grayscale, Sixteen),
        (Rgb, Eight),
        (Rgb, Sixteen),
        (Indexed, One),
        (Indexed, Two),
        (Indexed, Four),
        (Indexed, Eight),
        (GrayscaleAlpha, Eight),
        (GrayscaleAlpha, Sixteen),
        (Rgba, Eight),
        (Rgba, Sixteen),
    ])
}

proptest! {
    /// The `image` crate, which is not ours, reads the same pixels as before but for the one that was set.
    #[test]
    fn one_pixel_changes_and_all_else_stays(
        (kind, depth) in kinds(), size in (1u32..12, 1u32..9), seed in prop::collection::vec(any::<u8>(), 1..40),
        at in (0u32..12, 0u32..9), white in any::<bool>(),
    ) {
        let at = (at.0 % size.0, at.1 % size.1);
        let before = any_png(kind, depth, size, &seed);
        let mut sheet = EditablePng::read(&before).expect("a PNG");
        let old = sheet.colour(at.0, at.1).expect("inside");
        let colour = if white { [u16::MAX; 4] } else { [0, 0, 0, u16::MAX] };
        sheet.set(at.0, at.1, colour);
        let after = sheet.write().expect("a PNG");
        let read = |bytes: &[u8]| image::load_from_memory(bytes).expect("a PNG").into_rgba16();
        let (one, other) = (read(&before), read(&after));
        for (x, y, pixel) in other.enumerate_pixels() {
            let expected = if (x, y) == at { colour } else { one.get_pixel(x, y).0 };
            prop_assert_eq!(pixel.0, expected, "({}, {})", x, y);
        }
        // A pixel set back gives the same picture, and without a new colour the same palette.
        let mut sheet = EditablePng::read(&after).expect("a PNG");
        sheet.set(at.0, at.1, old);
        prop_assert_eq!(&read(&sheet.write().expect("a PNG")), &one);
        for text in [&b"tEXtTitle\0a sheet"[..], b"tEXtComment\0behind"] {
            prop_assert!(after.windows(text.len()).any(|part| part == text));
        }
        let unchanged = EditablePng::read(&before).expect("a PNG").write().expect("a PNG");
        prop_assert_eq!(read(&unchanged), one);
    }

    #[test]
    fn broken_files_are_refused_and_never_panic(
        (kind, depth) in kinds(), seed in prop::collection::vec(any::<u8>(), 1..40), at in any::<usize>(), byte in any::<u8>(),
    ) {
        let mut bytes = any_png(kind, depth, (5, 4), &seed);
        let at = at % bytes.len();
        bytes[at] ^= byte;
        if let Ok(mut sheet) = EditablePng::read(&bytes) {
            sheet.set(0, 0, [u16::MAX; 4]);
            let _ = sheet.write();
        }
        let _ = EditablePng::read(&bytes[..at]);
    }
}

#[test]
fn the_pictures_of_a_gif_are_cells_and_it_stays_a_gif() {
    let gif = include_bytes!("../../scenes/bench/film-wire.gif");
    let files = FilesInMemory::default().with("wire.gif", gif);
    let sheet = DrawingSheet::picture(&files, Path::new("wire.gif"), 0).expect("pictures");
    let decoder = image::codecs::gif::GifDecoder::new(std::io::Cursor::new(gif)).expect("a GIF");
    let frames = decoder.into_frames().collect_frames().expect("frames");
    let first = frames[0].buffer();
    assert_eq!(sheet.grid.cell, first.dimensions());
    assert_eq!(sheet.count().0, limited::<u32, usize>(frames.len()).min(LIMITS.picture_side / first.width()));
    assert_eq!(state(&sheet, &[]).cells.len(), sheet.count().0 as usize);
}
