//! The yardstick: the frames as plain bytes in every order, and the fewest bytes that general compressors make of them.

use pageloom::render::Bitmap;
use rayon::prelude::*;
use std::io::{Read, Write};

/// Rows of one page.
const PAGE_ROWS: u32 = 8;

/// How a frame's pixels are laid out as bytes.
#[derive(Clone, Copy, Debug)]
enum Order {
    /// Page by page, a byte for eight rows of one column: as the controller's memory is.
    Page,
    /// Row by row, a byte for eight columns.
    Row,
    /// Column by column, a byte for eight rows.
    Column,
}

/// The result of one compressor: its name with the order, and the bytes.
#[derive(Clone, Debug)]
pub struct Packed {
    pub name: String,
    pub bytes: usize,
}

fn bytes_of(picture: &Bitmap, order: Order) -> Vec<u8> {
    let (columns, rows) = (picture.width(), picture.height());
    let byte = |x: u32, y: u32, step: (u32, u32)| {
        (0..8).fold(0u8, |byte, bit| {
            byte | u8::from(picture.get((x + bit * step.0) as i32, (y + bit * step.1) as i32)) << bit
        })
    };
    let (pages, groups) = (rows.div_ceil(PAGE_ROWS), columns.div_ceil(8));
    match order {
        Order::Page => {
            (0..pages).flat_map(|p| (0..columns).map(move |x| (x, 8 * p))).map(|(x, y)| byte(x, y, (0, 1))).collect()
        }
        Order::Row => {
            (0..rows).flat_map(|y| (0..groups).map(move |g| (8 * g, y))).map(|(x, y)| byte(x, y, (1, 0))).collect()
        }
        Order::Column => {
            (0..columns).flat_map(|x| (0..pages).map(move |p| (x, 8 * p))).map(|(x, y)| byte(x, y, (0, 1))).collect()
        }
    }
}

/// All frames one after another; `differences` takes each as its difference from the one before.
fn stream(frames: &[Vec<Bitmap>], order: Order, differences: bool) -> Vec<u8> {
    let mut all = Vec::new();
    let mut before: Vec<u8> = Vec::new();
    for picture in frames.iter().flatten() {
        let bytes = bytes_of(picture, order);
        if differences && before.len() == bytes.len() {
            all.extend(bytes.iter().zip(&before).map(|(now, then)| now ^ then));
        } else {
            all.extend(&bytes);
        }
        before = bytes;
    }
    all
}

fn xz(data: &[u8]) -> usize {
    const EXTREME: u32 = 1 << 31; // LZMA_PRESET_EXTREME, the e of `xz -9e`
    let mut packed = Vec::new();
    let mut encoder = liblzma::read::XzEncoder::new(data, 9 | EXTREME);
    encoder.read_to_end(&mut packed).expect("memory takes all");
    packed.len()
}

fn zstd(data: &[u8]) -> usize {
    zstd::bulk::compress(data, 19).expect("memory takes all").len()
}

fn brotli(data: &[u8]) -> usize {
    let (mut packed, mut data) = (Vec::new(), data);
    let parameters = brotli::enc::BrotliEncoderParams { quality: 11, ..Default::default() };
    brotli::BrotliCompress(&mut data, &mut packed, &parameters).expect("memory takes all")
}

fn zlib(data: &[u8]) -> usize {
    let mut encoder = flate2::write::ZlibEncoder::new(Vec::new(), flate2::Compression::best());
    encoder.write_all(data).expect("memory takes all");
    encoder.finish().expect("memory takes all").len()
}

type Compressor = (&'static str, fn(&[u8]) -> usize);
const GENERAL: [Compressor; 4] = [("xz", xz), ("zstd", zstd), ("brotli", brotli), ("zlib", zlib)];

fn least(frames: &[Vec<Bitmap>], compressors: &[Compressor]) -> Packed {
    let orders = [Order::Page, Order::Row, Order::Column];
    let streams: Vec<(String, Vec<u8>)> = orders
        .iter()
        .flat_map(|order| [false, true].map(|differences| (*order, differences)))
        .map(|(order, differences)| {
            let name = format!("{order:?}{}", if differences { " XOR" } else { "" }).to_lowercase();
            (name, stream(frames, order, differences))
        })
        .collect();
    let tried = compressors.iter().flat_map(|(name, pack)| streams.iter().map(move |stream| (name, pack, stream)));
    let tried: Vec<_> = tried.collect();
    let packed = tried
        .par_iter()
        .map(|(name, pack, (order, data))| Packed { name: format!("{name} {order}"), bytes: pack(data) });
    packed.min_by_key(|packed| packed.bytes).expect("there is a compressor")
}

/// Bytes of all frames, uncompressed.
pub fn raw_bytes(frames: &[Vec<Bitmap>]) -> usize {
    stream(frames, Order::Page, false).len()
}

/// The best general compressor, which needs megabytes of memory to unpack.
pub fn best_general(frames: &[Vec<Bitmap>]) -> Packed {
    least(frames, &GENERAL)
}

/// The best that a coder for small parts makes of it, with a window of 512 bytes.
pub fn best_windowed(frames: &[Vec<Bitmap>]) -> Packed {
    least(frames, &[("window", super::windowed::packed_bytes)])
}
