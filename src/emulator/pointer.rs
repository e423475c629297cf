//! Where the next data byte goes, and how the addressing modes move on (SSD1306 data sheet Rev 1.5 §10.1.3).

use crate::panel::{Controller, RowEnd};

/// Addressing mode (command 20).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum AddressingMode {
    Horizontal,
    Vertical,
    Page,
    /// Down the pages of one column (SH1107).
    Column,
}

/// First and last of a window, both included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct AddressSpan {
    pub first: u8,
    pub last: u8,
}

/// The memory pointer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Pointer {
    pub mode: AddressingMode,
    pub page: u8,
    /// Column; equal to the number of columns once a stopping pointer has run past the last.
    pub column: u8,
    pub columns: AddressSpan,
    pub pages: AddressSpan,
    /// Page addressing has just run past the end of a window that is not the whole row.
    pub past_forgotten_window: bool,
    /// Column kept by command E0.
    pub kept_column: Option<u8>,
    memory_columns: u8,
    memory_pages: u8,
    pub row_end: RowEnd,
    /// Command FA: the column returns at the row's end.
    pub wraps: bool,
}

impl Pointer {
    pub(super) fn after_reset(controller: &Controller) -> Self {
        let (memory_columns, memory_pages) = (controller.memory_columns, controller.pages());
        Self {
            mode: if controller.row_end == RowEnd::NextPage {
                AddressingMode::Horizontal
            } else {
                AddressingMode::Page
            },
            page: 0,
            column: 0,
            columns: AddressSpan { first: 0, last: memory_columns - 1 },
            pages: AddressSpan { first: 0, last: memory_pages - 1 },
            past_forgotten_window: false,
            kept_column: None,
            memory_columns,
            memory_pages,
            row_end: controller.row_end,
            wraps: false,
        }
    }
    /// Moves the column by a command; whatever ran past a window is forgotten.
    pub(super) fn go_to_column(&mut self, column: u8) {
        self.column = column;
        self.past_forgotten_window = false;
    }
    /// Moves the page by a command.
    pub(super) fn go_to_page(&mut self, page: u8) {
        self.page = page;
        self.past_forgotten_window = false;
    }
    /// Whether the pointer has stopped beyond the last column.
    pub(super) fn beyond_last_column(&self) -> bool {
        self.column >= self.memory_columns
    }
    /// Moves on after a data byte.
    pub(super) fn advance(&mut self) {
        match self.mode {
            AddressingMode::Page if self.row_end == RowEnd::Stops || self.row_end == RowEnd::AsSet && !self.wraps => {
                self.column = (self.column + 1).min(self.memory_columns);
            }
            AddressingMode::Column => {
                self.next_page();
            }
            AddressingMode::Page => {
                let carried = self.next_column();
                let whole = self.columns.first == 0 && self.columns.last == self.memory_columns - 1;
                self.past_forgotten_window = carried && !whole;
            }
            AddressingMode::Horizontal => {
                if self.next_column() {
                    self.next_page();
                }
            }
            AddressingMode::Vertical => {
                if self.next_page() {
                    self.next_column();
                }
            }
        }
    }
    /// Next column; true when it went back to the first.
    fn next_column(&mut self) -> bool {
        let carried = self.column == self.columns.last || self.column >= self.memory_columns - 1;
        self.column = if carried { self.columns.first } else { self.column + 1 };
        carried
    }
    /// Next page; true when it went back to the first.
    fn next_page(&mut self) -> bool {
        let carried = self.page == self.pages.last || self.page >= self.memory_pages - 1;
        self.page = if carried { self.pages.first } else { self.page + 1 };
        carried
    }
}
