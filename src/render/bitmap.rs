//! A picture of lit and dark pixels, drawn as `#` and `.` in tests.

use crate::whole::limited;
use bitvec::vec::BitVec;

/// Bits of a word of the storage; the first pixel is the lowest bit of the first word, as `BitVec` has it by default.
const WORD: usize = usize::BITS as usize;

/// Lit (true) and dark pixels in rows from the top, each from the left; nothing exists outside.
#[derive(Clone, Debug)]
pub struct Bitmap {
    width: u32,
    height: u32,
    /// Bits of the last word without a pixel are never set, so that pictures are compared and combined by word.
    bits: BitVec,
}

impl PartialEq for Bitmap {
    fn eq(&self, other: &Self) -> bool {
        (self.width, self.height) == (other.width, other.height)
            && self.bits.as_raw_slice() == other.bits.as_raw_slice()
    }
}

impl Eq for Bitmap {}

impl std::hash::Hash for Bitmap {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        (self.width, self.height, self.bits.as_raw_slice()).hash(state);
    }
}

impl Bitmap {
    /// A dark picture of `width` × `height` pixels.
    pub fn new(width: u32, height: u32) -> Self {
        Self { width, height, bits: BitVec::repeat(false, width as usize * height as usize) }
    }
    /// Width in pixels.
    pub fn width(&self) -> u32 {
        self.width
    }
    /// Height in pixels.
    pub fn height(&self) -> u32 {
        self.height
    }
    /// Whether the pixel is lit; dark outside.
    pub fn get(&self, x: i32, y: i32) -> bool {
        self.index(x, y).is_some_and(|index| self.bits.as_raw_slice()[index / WORD] >> (index % WORD) & 1 == 1)
    }
    /// Lights or darkens a pixel; nothing happens outside.
    pub fn set(&mut self, x: i32, y: i32, lit: bool) {
        if let Some(index) = self.index(x, y) {
            let (word, bit) = (&mut self.bits.as_raw_mut_slice()[index / WORD], 1 << (index % WORD));
            *word = if lit { *word | bit } else { *word & !bit };
        }
    }
    /// Lights the pixels of a row from `left` up to but not with `right`; nothing happens outside.
    pub fn light_row(&mut self, y: i32, left: i32, right: i32) {
        let (left, right) = (left.max(0), right.min(self.width.cast_signed()));
        if left < right
            && let (Some(first), Some(last)) = (self.index(left, y), self.index(right - 1, y))
        {
            self.bits[first..=last].fill(true);
        }
    }
    /// How many pixels are lit.
    pub fn lit(&self) -> usize {
        self.bits.count_ones()
    }
    /// The coordinates of each lit pixel, row by row.
    pub fn lit_pixels(&self) -> impl Iterator<Item = (i32, i32)> + '_ {
        let width = self.width.max(1) as usize;
        self.bits.iter_ones().map(move |index| (limited(index % width), limited(index / width)))
    }
    /// The same picture with lit and dark changed over.
    pub fn inverted(&self) -> Self {
        let mut bits = !self.bits.clone();
        bits.set_uninitialized(false);
        Self { bits, ..*self }
    }
    /// Lights every pixel that `other`, a picture of the same size, has lit.
    pub fn unite(&mut self, other: &Self) {
        self.by_word(other, |own, other| own | other);
    }
    /// Darkens every pixel that `other`, a picture of the same size, has lit.
    pub fn clear(&mut self, other: &Self) {
        self.by_word(other, |own, other| own & !other);
    }
    /// Darkens every pixel that `other`, a picture of the same size, has dark.
    pub fn mask(&mut self, other: &Self) {
        self.by_word(other, |own, other| own & other);
    }
    /// Changes over every pixel that `other`, a picture of the same size, has lit.
    pub fn toggle(&mut self, other: &Self) {
        self.by_word(other, |own, other| own ^ other);
    }
    /// The picture that has at (x, y) what this one has at `from(x, y)`.
    pub fn mapped(&self, width: u32, height: u32, from: impl Fn(i32, i32) -> (i32, i32)) -> Self {
        let mut picture = Self::new(width, height);
        for y in 0..height.cast_signed() {
            for x in 0..width.cast_signed() {
                let (source_x, source_y) = from(x, y);
                picture.set(x, y, self.get(source_x, source_y));
            }
        }
        picture
    }

    fn by_word(&mut self, other: &Self, laid: impl Fn(usize, usize) -> usize) {
        let words = self.bits.as_raw_mut_slice().iter_mut().zip(other.bits.as_raw_slice());
        words.for_each(|(own, other)| *own = laid(*own, *other));
    }

    fn index(&self, x: i32, y: i32) -> Option<usize> {
        let (x, y) = (u32::try_from(x).ok()?, u32::try_from(y).ok()?);
        (x < self.width && y < self.height).then(|| y as usize * self.width as usize + x as usize)
    }
}

/// Rows of `#` (lit) and `.` (dark), each ended by a line break.
impl std::fmt::Display for Bitmap {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for y in 0..self.height.cast_signed() {
            let row: String = (0..self.width.cast_signed()).map(|x| if self.get(x, y) { '#' } else { '.' }).collect();
            writeln!(f, "{row}")?;
        }
        Ok(())
    }
}

/// Reads rows of `#` and `.`; rows must be of one length.
impl std::str::FromStr for Bitmap {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let rows: Vec<&str> = text.lines().map(str::trim).filter(|row| !row.is_empty()).collect();
        let width = rows.first().map_or(0, |row| row.len());
        let mut picture = Self::new(limited(width), limited(rows.len()));
        for (y, row) in rows.iter().enumerate() {
            if row.len() != width {
                return Err(format!("row {y} has {} pixels, the first has {width}", row.len()));
            }
            for (x, mark) in row.chars().enumerate() {
                match mark {
                    '#' => picture.set(limited(x), limited(y), true),
                    '.' => {}
                    other => return Err(format!("`{other}` in row {y} is neither # nor .")),
                }
            }
        }
        Ok(picture)
    }
}

#[cfg(test)]
mod tests {
    use super::Bitmap;

    #[test]
    fn a_drawn_picture_reads_back_as_drawn() {
        let drawn = "#..\n.##\n";
        let picture: Bitmap = drawn.parse().expect("well drawn");
        assert_eq!(picture.to_string(), drawn);
        assert_eq!(picture.lit_pixels().collect::<Vec<_>>(), [(0, 0), (1, 1), (2, 1)]);
        assert_eq!(picture.inverted().lit(), 3);
        assert!("#.\n#\n".parse::<Bitmap>().is_err());
    }

    /// Seven pixels leave most of a word free, and 65 one bit of a second word.
    #[test]
    fn pictures_of_equal_pixels_are_equal_however_they_came_about() {
        for (width, pixels) in [(7u32, 7), (65, 65)] {
            let dark = Bitmap::new(width, 1);
            let mut lit = dark.clone();
            lit.light_row(0, 0, width.cast_signed());
            assert_eq!(dark.inverted(), lit);
            assert_eq!(lit.inverted(), dark);
            let mut toggled = dark.clone();
            toggled.toggle(&dark.inverted());
            assert_eq!(toggled, lit);
            toggled.clear(&lit);
            assert_eq!(toggled, dark);
            toggled.unite(&lit);
            toggled.mask(&lit);
            assert_eq!((toggled.lit(), &toggled), (pixels, &lit));
            assert_ne!(lit, dark);
        }
    }
}
