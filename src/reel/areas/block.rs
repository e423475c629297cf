//! Encodes the areas of a scene for the player: records, tables of rows, courses, and the code of the rows.

use super::course::{PhaseCourse, course, history_course};
use super::history::HistoryRecord;
use super::live::{LivePart, PartOperand, entries};
use super::row::RowCode;
use super::stack::SheetArea;
use crate::player::area::RECORD_BYTES;
use crate::player::live::PARTS_SHIFT;
use crate::reel::encode::put_offset;
use crate::reel::memory::cell;
use crate::whole::limited;

/// Offsets in a record: its course, its first page, and the table of its rows.
const COURSE: usize = 0;
const PAGE: usize = 2;
const TABLE: usize = 9;

/// The bytes of areas; the records come first. Addresses count from the first byte until the block is placed in a reel.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Block {
    pub count: u8,
    /// Whether one of them is noise.
    pub flickers: bool,
    bytes: Vec<u8>,
    /// The offsets of addresses in the block.
    addresses: Vec<usize>,
}

impl Block {
    /// Encodes areas, the lowest first. With `stay` they keep their last phase after the last frame; else they start again.
    pub fn of(areas: &[SheetArea], first_column: u8, stay: bool) -> Self {
        let mut rows = RowCode::default();
        let mut block = Self { count: limited(areas.len()), ..Self::default() };
        block.bytes.resize(areas.len() * usize::from(RECORD_BYTES), 0);
        // Long rows first, so that shorter ones can be parts of them.
        let mut all: Vec<&Vec<u8>> = areas.iter().flat_map(|area| &area.sheet.rows).collect();
        all.sort_by_key(|row| std::cmp::Reverse(row.iter().filter(|cell| **cell != 0).count()));
        all.into_iter().for_each(|row| {
            rows.place(row);
        });
        let (mut of_rows, mut starts, mut tables) = (Vec::new(), Vec::new(), Vec::new());
        let mut tables_of_rows: Vec<usize> = Vec::new();
        for (number, area) in areas.iter().enumerate() {
            let record = number * usize::from(RECORD_BYTES);
            block.record(record, area, first_column);
            let same =
                |other: &SheetArea| other.sheet.phases == area.sheet.phases && other.sheet.parts == area.sheet.parts;
            let alike = areas[..number].iter().position(same).filter(|_| area.sheet.history.is_none());
            if alike.is_none() {
                block.parts(&area.sheet.parts, &mut tables);
            }
            let start = alike.map_or(block.bytes.len(), |other| starts[other]);
            block.address(record + COURSE, start);
            starts.push(start);
            match &area.sheet.history {
                Some(history) => block.endless(history_course(history.every), start),
                None if alike.is_none() => block.course(&area.sheet.phases, start, stay),
                None => {}
            }
            let shown = |other: &SheetArea| {
                let rows = !area.sheet.rows.is_empty() && other.sheet.rows == area.sheet.rows;
                rows && other.rectangle.pages().len() == area.rectangle.pages().len()
            };
            let same_rows = areas[..number].iter().position(shown);
            let table = same_rows.map_or(block.bytes.len(), |other| tables_of_rows[other]);
            block.address(record + TABLE, table);
            tables_of_rows.push(table);
            block.flickers |= area.sheet.noise.is_some();
            block.bytes.extend(area.sheet.noise.iter().flatten().flat_map(|word| word.to_le_bytes()));
            block.bytes.extend(area.sheet.history.iter().flat_map(HistoryRecord::bytes));
            for row in area.sheet.rows.iter().filter(|_| same_rows.is_none()) {
                of_rows.push((block.bytes.len(), rows.place(row)));
                block.bytes.extend([0, 0]);
            }
        }
        let base = block.bytes.len();
        of_rows.into_iter().for_each(|(at, place)| block.address(at, base + place));
        block.bytes.extend(&rows.code);
        for at in &rows.addresses {
            let place = usize::from(rows.code[*at]) | usize::from(rows.code[at + 1]) << 8;
            block.address(base + at, base + place);
        }
        block
    }

    /// Appends what live values add to a phase, which is stored before the course. `tables` are the tables in the block, with their
    /// offsets.
    fn parts(&mut self, parts: &[LivePart], tables: &mut Vec<(Vec<u8>, usize)>) {
        let mut placed = Vec::new();
        for (form, operand) in entries(parts) {
            placed.push(match operand {
                PartOperand::EachStep(part) => (form, part, false),
                PartOperand::Steps(table) => {
                    let known = tables.iter().find(|(known, _)| *known == table).map(|(_, place)| *place);
                    let place = known.unwrap_or_else(|| {
                        tables.push((table.clone(), self.bytes.len()));
                        self.bytes.extend(&table);
                        self.bytes.len() - table.len()
                    });
                    (form, limited(place), true)
                }
            });
        }
        for (form, operand, is_place) in placed {
            let at = self.bytes.len() + 1;
            self.bytes.push(form);
            self.bytes.extend(operand.to_le_bytes());
            if is_place {
                self.addresses.push(at);
            }
        }
    }

    fn course(&mut self, phases: &[u16], start: usize, stays: bool) {
        self.endless(course(phases, stays), start);
    }

    fn endless(&mut self, course: PhaseCourse, start: usize) {
        self.bytes.extend(course.code);
        if let Some(round) = course.round {
            let at = self.bytes.len() - 2;
            self.address(at, start + round);
        }
    }

    fn address(&mut self, at: usize, place: usize) {
        put_offset(&mut self.bytes, at, place);
        self.addresses.push(at);
    }

    fn record(&mut self, at: usize, area: &SheetArea, first_column: u8) {
        let (rectangle, pages) = (&area.rectangle, area.rectangle.pages());
        let pixels = |page: usize| cell(rectangle.mask(), page);
        let parts: u8 = limited(entries(&area.sheet.parts).len());
        let fields = [
            limited(pages.start),
            limited(pages.len() - 1),
            limited(usize::from(first_column) + rectangle.columns.start),
            limited(rectangle.columns.len()),
            area.sheet.motion | area.blend | parts << PARTS_SHIFT,
            pixels(pages.start),
            pixels(pages.end - 1),
        ];
        self.bytes[at + PAGE..at + TABLE].copy_from_slice(&fields);
    }

    /// Its length in bytes.
    pub fn len(&self) -> usize {
        self.bytes.len()
    }

    /// The bytes for an offset of a reel.
    pub fn placed(&self, offset: usize) -> Vec<u8> {
        let mut bytes = self.bytes.clone();
        for at in &self.addresses {
            let place = (usize::from(bytes[*at]) | usize::from(bytes[at + 1]) << 8) + offset;
            put_offset(&mut bytes, *at, place);
        }
        bytes
    }
}
