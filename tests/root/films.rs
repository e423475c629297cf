//! The films of the bench: moving pictures that no layer explains, computed from seeds. The files in scenes/bench are what is
//! computed here; `PAGELOOM_BLESS=1 cargo test --test root films` writes them again.

use image::AnimationDecoder;
use image::codecs::gif::GifDecoder;
use std::io::Cursor;
use std::path::{Path, PathBuf};

const WIDTH: i32 = 128;
const HEIGHT: i32 = 64;
const FRAMES: i32 = 60;
/// Hundredths of a second of a picture: near 15 a second.
const DELAY: u16 = 7;

/// Lit pixels, row by row.
type Picture = Vec<bool>;

/// A part of a turn, of so many frames, as an angle.
fn turned(frame: i32, frames: f64) -> f64 {
    f64::from(frame) / frames * std::f64::consts::TAU
}

/// A linear congruential generator with the constants of Knuth's MMIX; 16 bits.
fn random(state: &mut u64) -> i32 {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    (*state >> 48) as i32
}

fn picture(lit: impl Fn(i32, i32) -> bool) -> Picture {
    (0..HEIGHT).flat_map(|y| (0..WIDTH).map(move |x| (x, y))).map(|(x, y)| lit(x, y)).collect()
}

/// A line by Bresenham's method.
fn line(picture: &mut Picture, (mut x, mut y): (i32, i32), end: (i32, i32)) {
    let (dx, dy) = ((end.0 - x).abs(), -(end.1 - y).abs());
    let (sx, sy) = ((end.0 - x).signum(), (end.1 - y).signum());
    let mut error = dx + dy;
    loop {
        if (0..WIDTH).contains(&x) && (0..HEIGHT).contains(&y) {
            picture[(y * WIDTH + x) as usize] = true;
        }
        if (x, y) == end {
            return;
        }
        let twice = 2 * error;
        if twice >= dy {
            error += dy;
            x += sx;
        }
        if twice <= dx {
            error += dx;
            y += sy;
        }
    }
}

/// Two wire boxes, one in the other, turn about two axes that are no multiples of one another.
fn wire(frame: i32) -> Picture {
    let mut shown = picture(|_, _| false);
    for (size, speed) in [(1.0, 1.0), (0.45, -1.7)] {
        let (a, b) = (turned(frame, 97.0) * speed, turned(frame, 61.0) * speed + 0.4);
        let corner = |number: i32| {
            let side = |bit: i32| if number >> bit & 1 == 1 { size } else { -size };
            let (x, y, z) = (side(0), side(1), side(2));
            let (x, z) = (x * libm::cos(a) - z * libm::sin(a), x * libm::sin(a) + z * libm::cos(a));
            let (y, z) = (y * libm::cos(b) - z * libm::sin(b), y * libm::sin(b) + z * libm::cos(b));
            let scale = 66.0 / (z + 3.6);
            (64 + libm::round(x * scale * 1.4) as i32, 32 + libm::round(y * scale) as i32)
        };
        for (from, bit) in (0..8).flat_map(|from| (0..3).map(move |bit| (from, bit))) {
            if from >> bit & 1 == 0 {
                line(&mut shown, corner(from), corner(from | 1 << bit));
            }
        }
    }
    shown
}

/// Bodies that melt into one another where they meet.
fn bodies(frame: i32) -> Picture {
    let centre = |number: i32| {
        let (across, up) = (40.0 + 9.0 * f64::from(number), 31.0 + 13.0 * f64::from(number));
        let x = 64.0 + 46.0 * libm::sin(turned(frame, across) + f64::from(number));
        let y = 32.0 + 22.0 * libm::cos(turned(frame, up) + 2.0 * f64::from(number));
        (x, y, 60.0 + 30.0 * f64::from(number % 3))
    };
    let centres: Vec<_> = (0..5).map(centre).collect();
    picture(|x, y| {
        let pull = |(cx, cy, size): &(f64, f64, f64)| {
            let (dx, dy) = (f64::from(x) - cx, f64::from(y) - cy);
            size / (dx * dx + dy * dy + 1.0)
        };
        centres.iter().map(pull).sum::<f64>() > 1.0
    })
}

/// Thresholds of ordered dithering in sixteenths (Bayer 1973).
const DITHER: [[i32; 4]; 4] = [[0, 8, 2, 10], [12, 4, 14, 6], [3, 11, 1, 9], [15, 7, 13, 5]];

/// Hills in three distances pass by at speeds that are no whole pixels; the dither stays with the display.
fn land(frame: i32) -> Picture {
    let hill = |layer: i32, x: f64| {
        let wide = 23.0 + 9.0 * f64::from(layer);
        22.0 + 11.0 * f64::from(layer)
            + 7.0 * libm::sin(x / wide)
            + 4.0 * libm::sin(x / (wide * 0.37) + f64::from(layer))
    };
    picture(|x, y| {
        let grey = (0..3).rev().find_map(|layer| {
            let place = f64::from(x) + f64::from(frame) * (0.3 + 0.45 * f64::from(layer)) + 91.0 * f64::from(layer);
            let depth = f64::from(y) - hill(layer, place);
            (depth > 0.0).then_some(12 - 5 * (2 - layer) - (depth / 4.0) as i32)
        });
        let sky = || 3 - y / 8;
        grey.unwrap_or_else(sky) > DITHER[(y & 3) as usize][(x & 3) as usize]
    })
}

/// Fire: heat rises, spreads and cools by lot.
fn fire(frames: i32) -> Vec<Picture> {
    let (mut heat, mut lot) = (vec![0i32; (WIDTH * (HEIGHT + 1)) as usize], 7);
    let mut shown = Vec::new();
    for frame in -60..frames {
        for x in 0..WIDTH {
            let ember = random(&mut lot) % 5 == 0;
            let bed = &mut heat[(HEIGHT * WIDTH + x) as usize];
            *bed = if ember { 255 } else { *bed * 7 / 8 };
        }
        for y in 0..HEIGHT {
            for x in 0..WIDTH {
                let below = |off: i32| heat[((y + 1) * WIDTH + (x + off).rem_euclid(WIDTH)) as usize];
                let mean = (below(-1) + 2 * below(0) + below(1)) / 4;
                heat[(y * WIDTH + x) as usize] = (mean - random(&mut lot) % 5).max(0);
            }
        }
        if frame >= 0 {
            let level = |x: i32, y: i32| heat[(y * WIDTH + x) as usize];
            shown.push(picture(|x, y| level(x, y) * 16 / 160 > DITHER[(y & 3) as usize][(x & 3) as usize]));
        }
    }
    shown
}

fn films() -> [(&'static str, Vec<Picture>); 4] {
    let film = |picture: fn(i32) -> Picture| (0..FRAMES).map(picture).collect();
    [("film-wire", film(wire)), ("film-bodies", film(bodies)), ("film-land", film(land)), ("film-fire", fire(FRAMES))]
}

fn file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/bench").join(format!("{name}.gif"))
}

fn write(path: &Path, pictures: &[Picture]) {
    let mut bytes = Vec::new();
    let palette = [0, 0, 0, 255, 255, 255];
    let mut encoder = gif::Encoder::new(&mut bytes, WIDTH as u16, HEIGHT as u16, &palette).expect("a GIF");
    for picture in pictures {
        let buffer: Vec<u8> = picture.iter().map(|lit| u8::from(*lit)).collect();
        let frame = gif::Frame {
            width: WIDTH as u16,
            height: HEIGHT as u16,
            delay: DELAY,
            buffer: buffer.into(),
            ..gif::Frame::default()
        };
        encoder.write_frame(&frame).expect("a picture");
    }
    drop(encoder);
    std::fs::write(path, bytes).expect("the folder can be written");
}

fn read(path: &Path) -> Vec<Picture> {
    let bytes = std::fs::read(path).expect("the film is there");
    let frames = GifDecoder::new(Cursor::new(bytes)).expect("a GIF").into_frames();
    let lit = |frame: image::Frame| frame.buffer().pixels().map(|pixel| pixel.0[0] > 127).collect();
    frames.map(|frame| lit(frame.expect("a picture"))).collect()
}

#[test]
fn the_films_of_the_bench_are_those_of_their_seeds() {
    for (name, pictures) in films() {
        let path = file(name);
        if std::env::var_os("PAGELOOM_BLESS").is_some() {
            write(&path, &pictures);
        }
        assert!(read(&path) == pictures, "{name}.gif is not what its seed gives; bless it, or undo the change");
    }
}
