//! The chunks of a PNG (W3C PNG specification §5.3): length, kind, data and check sum, kept as bytes.

/// The first eight bytes of a PNG (§5.2).
const SIGNATURE: [u8; 8] = [0x89, b'P', b'N', b'G', 0x0d, 0x0a, 0x1a, 0x0a];
/// Bytes of a chunk beside its data: length, kind, check sum.
const FRAME: usize = 12;
/// Chunks that belong to the pixels are written again. `hIST` counts the colours of a palette, so it is dropped when the palette
/// grows.
const OF_PIXELS: [&[u8; 4]; 4] = [b"IHDR", b"PLTE", b"tRNS", b"IDAT"];

/// One chunk: its kind and all its bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PngChunk {
    kind: [u8; 4],
    bytes: Vec<u8>,
}

/// The chunks of a PNG in their order, with all `IDAT` as one entry. Bytes after the last chunk are left out.
pub fn chunks(png: &[u8]) -> Result<Vec<PngChunk>, String> {
    let mut rest = png.strip_prefix(&SIGNATURE).ok_or("it does not begin as a PNG does")?;
    let mut found: Vec<PngChunk> = Vec::new();
    while let Some((length, _)) = rest.split_first_chunk::<4>() {
        let length = u32::from_be_bytes(*length) as usize + FRAME;
        let (whole, after) = rest.split_at_checked(length).ok_or("its last chunk is cut off")?;
        let kind = [whole[4], whole[5], whole[6], whole[7]];
        match found.last_mut() {
            Some(last) if kind == *b"IDAT" && last.kind == kind => last.bytes.extend(whole),
            _ => found.push(PngChunk { kind, bytes: whole.to_vec() }),
        }
        if kind == *b"IEND" {
            return Ok(found);
        }
        rest = after;
    }
    Err("it has no end".into())
}

/// A PNG of the chunks of `old`, with those that belong to the pixels from `fresh`.
pub fn joined(old: &[PngChunk], fresh: &[PngChunk], palette_grew: bool) -> Vec<u8> {
    let made = |kind: &[u8; 4]| fresh.iter().find(|chunk| chunk.kind == *kind);
    let mut png = SIGNATURE.to_vec();
    for chunk in old {
        if chunk.kind == *b"hIST" && palette_grew {
            continue;
        }
        match OF_PIXELS.into_iter().find(|kind| **kind == chunk.kind).map(made) {
            // A palette that only suggests colours stays, where the pixels need none.
            None | Some(None) => png.extend(&chunk.bytes),
            Some(Some(new)) => png.extend(&new.bytes),
        }
    }
    png
}
