//! Pictures held against Pillow, an imaging library outside the project: error diffusion pixel by pixel, and animated GIFs
//! frame by frame with what each frame leaves or clears of the one before.

use pageloom::render::diffused;
use pageloom::source::SourcePicture;
use std::process::Command;

fn python(script: &str, path: &std::path::Path) -> String {
    let output = Command::new("python3").args(["-c", script]).arg(path).output();
    let output = output.expect("python3 is needed for this test");
    let faults = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "Pillow for python3 is needed for this test: {faults}");
    String::from_utf8(output.stdout).expect("text")
}

/// A slope with waves on it, so that every grey occurs.
fn shade(x: u32, y: u32) -> u8 {
    ((x * 5 + y * 3 + (x * y) % 23 * 4) % 256) as u8
}

/// Pillow's conversion to one bit spreads errors by Floyd and Steinberg and takes a value above 128 as white.
#[test]
fn errors_are_spread_as_pillow_spreads_them() {
    const SCRIPT: &str = "
import sys
from PIL import Image
grey = Image.new('L', (61, 37))
grey.putdata([(x * 5 + y * 3 + (x * y) % 23 * 4) % 256 for y in range(37) for x in range(61)])
one = grey.convert('1')
for y in range(37):
    print(''.join('#' if one.getpixel((x, y)) else '.' for x in range(61)))
";
    let theirs = python(SCRIPT, std::path::Path::new("-"));
    let lit = diffused(61, 37, 129, shade);
    let ours: String = lit
        .chunks(61)
        .map(|row| row.iter().map(|lit| if *lit { '#' } else { '.' }).chain(['\n']).collect::<String>())
        .collect();
    assert_eq!(ours, theirs);
}

/// Frames smaller than the whole, each with another way of leaving, written and read by Pillow.
#[test]
fn an_animated_gif_is_read_as_pillow_reads_it() {
    const WRITE: &str = "
import sys
from PIL import Image, ImageDraw
frames = []
for number in range(6):
    frame = Image.new('P', (20, 12), 0)
    frame.putpalette([0, 0, 0, 255, 255, 255, 255, 0, 0, 0, 128, 0] + [0] * 756)
    draw = ImageDraw.Draw(frame)
    draw.rectangle((number * 2, number, number * 2 + 6, number + 5), fill=1 + number % 3)
    frames.append(frame)
frames[0].save(sys.argv[1], save_all=True, append_images=frames[1:], duration=[40, 50, 120, 70, 80, 90],
    disposal=[1, 2, 3, 1, 2, 0], transparency=0, loop=0, optimize=False)
with Image.open(sys.argv[1]) as read:
    for number in range(read.n_frames):
        read.seek(number)
        print('delay', read.info['duration'])
        frame = read.convert('RGBA')
        for y in range(frame.height):
            print(' '.join('%02x%02x%02x' % frame.getpixel((x, y))[:3] if frame.getpixel((x, y))[3] else '------'
                for x in range(frame.width)))
";
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("written.gif");
    let theirs = python(WRITE, &path);
    let picture =
        SourcePicture::from_gif(&std::fs::read(&path).expect("written"), pageloom::source::LIMITS).expect("a GIF");
    let width = picture.frame_width();
    assert_eq!((width, picture.height()), (20, 12));
    let mut ours = String::new();
    for (number, delay) in picture.delays().iter().enumerate() {
        ours.push_str(&format!("delay {delay}\n"));
        for y in 0..picture.height() {
            let pixel = |x: u32| {
                let ink = picture.ink(number as u32 * width + x, y).expect("inside");
                let [red, green, blue] = ink.colour;
                if ink.opacity > 0 { format!("{red:02x}{green:02x}{blue:02x}") } else { "------".into() }
            };
            ours.push_str(&format!("{}\n", (0..width).map(pixel).collect::<Vec<_>>().join(" ")));
        }
    }
    assert!(picture.delays().len() >= 5, "{:?}", picture.delays());
    assert_eq!(ours, theirs);
}

#[test]
fn a_broken_gif_is_refused_with_a_reason() {
    for bytes in [&b"GIF89a"[..], b"GIF89a\x04\x00\x04\x00\x80\x00\x00", b""] {
        assert!(SourcePicture::from_gif(bytes, pageloom::source::LIMITS).is_err());
    }
    assert!(SourcePicture::sequence(Vec::new(), 100).is_err());
    let (small, large) = (SourcePicture::from_rgba(1, 1, &[]), SourcePicture::from_rgba(2, 1, &[]));
    assert!(SourcePicture::sequence(vec![small, large], 100).expect_err("sizes differ").contains("picture 2 is 2×1"));
}
