//! The controller's display memory, kept by page and segment as the chip wires it.

use crate::panel::Controller;

/// One byte for each page and segment; bit 0 is the page's top row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct DisplayMemory {
    columns: u8,
    pages: u8,
    sideways: bool,
    bytes: Vec<u8>,
    noise: u64,
}

impl DisplayMemory {
    /// Memory of zeros.
    pub(super) fn blank(controller: &Controller) -> Self {
        let (columns, pages) = (controller.memory_columns, controller.pages());
        Self {
            columns,
            pages,
            sideways: controller.sideways,
            bytes: vec![0; usize::from(columns) * usize::from(pages)],
            noise: 0,
        }
    }
    /// Memory at power-up: noise, since the data sheets do not say that it is cleared.
    pub(super) fn noisy(controller: &Controller, seed: u64) -> Self {
        let mut memory = Self { noise: seed, ..Self::blank(controller) };
        memory.scramble();
        memory
    }
    /// Replaces every byte by noise (the SplitMix64 sequence, published by Steele, Lea and Flood in 2014).
    pub(super) fn scramble(&mut self) {
        for byte in &mut self.bytes {
            self.noise = self.noise.wrapping_add(0x9E37_79B9_7F4A_7C15);
            let mut mixed = self.noise;
            mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
            mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
            *byte = (mixed >> 56) as u8;
        }
    }
    /// The byte at a page and segment; 0 outside.
    pub(super) fn get(&self, page: u8, segment: u8) -> u8 {
        self.index(page, segment).map_or(0, |index| self.bytes[index])
    }
    /// Writes the byte at a page and segment; nothing happens outside.
    pub(super) fn set(&mut self, page: u8, segment: u8, value: u8) {
        if let Some(index) = self.index(page, segment) {
            self.bytes[index] = value;
        }
    }
    /// All lines of a segment, line 0 in bit 0; none outside. Where pages run along the segments, a line is a column of memory.
    pub(super) fn lines(&self, segment: u8) -> u128 {
        if self.sideways {
            let lit = |column: u8| u128::from(self.get(segment / 8, column) >> (segment % 8) & 1);
            return (0..self.columns).fold(0, |lines, column| lines | lit(column) << column);
        }
        (0..self.pages).fold(0, |lines, page| lines | u128::from(self.get(page, segment)) << (8 * page))
    }

    fn index(&self, page: u8, segment: u8) -> Option<usize> {
        let inside = page < self.pages && segment < self.columns;
        inside.then(|| usize::from(page) * usize::from(self.columns) + usize::from(segment))
    }
}
