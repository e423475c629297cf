//! The terminal while a show plays in it: its own screen, put back when dropped, and what is drawn there in what room there is.

use crate::diag::{number, wrapped};
use crate::preview::{Played, eight_dots, half_blocks};
use crate::render::Bitmap;
use crate::units::Nanoseconds;
use crossterm::{cursor, execute, queue, style::Print, terminal};
use std::io::{self, Write};

/// Lines below the picture: an empty one, what plays, triggers, keys.
const LINES_BELOW: u16 = 4;
/// Columns left of the picture.
const MARGIN: u16 = 1;

/// The terminal in its own screen.
pub struct Screen {
    /// Columns and rows when it was last drawn.
    size: (u16, u16),
}

impl Screen {
    /// Takes the terminal; `Err` says in words why a picture of this size cannot be shown there.
    pub fn open(width: u32, height: u32) -> Result<Self, String> {
        let size = terminal::size().map_err(|why| why.to_string())?;
        if way(width, height, size).is_none() {
            return Err(too_small(width, height, size));
        }
        let screen = Self { size };
        terminal::enable_raw_mode().map_err(|why| why.to_string())?;
        execute!(io::stdout(), terminal::EnterAlternateScreen, cursor::Hide).map_err(|why| why.to_string())?;
        Ok(screen)
    }

    /// Draws a frame with lines of text below; after a change of the terminal's size in the room there is then.
    pub fn draw(&mut self, played: &Played, below: [String; LINES_BELOW as usize]) -> io::Result<()> {
        let mut out = io::stdout().lock();
        let size = terminal::size()?;
        if size != self.size {
            queue!(out, terminal::Clear(terminal::ClearType::All))?;
            self.size = size;
        }
        queue!(out, cursor::MoveTo(0, 0))?;
        let picture = &played.shown.picture;
        let lines: Vec<String> = match way(picture.width(), picture.height(), size) {
            Some(way) => {
                let dark = !played.shown.on;
                let row = |row: String| if dark { String::new() } else { format!(" {row}") };
                way(picture).into_iter().map(row).chain(below).collect()
            }
            None => {
                let words = too_small(picture.width(), picture.height(), size);
                wrapped(&words, usize::from(size.0), 0).lines().map(str::to_owned).collect()
            }
        };
        for line in lines {
            queue!(
                out,
                Print(fitting(&line, usize::from(size.0))),
                terminal::Clear(terminal::ClearType::UntilNewLine),
                cursor::MoveToNextLine(1)
            )?;
        }
        out.flush()
    }
}

/// As much of a line as there is room for: whole parts, which three spaces set apart, then whole words.
fn fitting(line: &str, columns: usize) -> &str {
    let Some((end, _)) = line.char_indices().nth(columns) else { return line };
    let apart = |between: &str| line.match_indices(between).map(|(at, _)| at).filter(|at| *at > 0 && *at <= end).last();
    &line[..apart("   ").or_else(|| apart(" ")).unwrap_or(end)]
}

impl Drop for Screen {
    fn drop(&mut self) {
        // Nothing more can be done for a terminal that is gone.
        let _ = execute!(io::stdout(), cursor::Show, terminal::LeaveAlternateScreen);
        let _ = terminal::disable_raw_mode();
    }
}

/// A picture as rows of text.
type Way = fn(&Bitmap) -> Vec<String>;

/// Columns and rows of a picture, if a character is for this number of pixels across and down.
fn room(width: u32, height: u32, across: u32, down: u32) -> (u32, u32) {
    (width.div_ceil(across) + u32::from(MARGIN), height.div_ceil(down) + u32::from(LINES_BELOW))
}

/// Half blocks where they fit, else eight dots to a letter; `None` where neither fits.
fn way(width: u32, height: u32, (columns, rows): (u16, u16)) -> Option<Way> {
    let fits = |(wide, high): (u32, u32)| wide <= u32::from(columns) && high <= u32::from(rows);
    if fits(room(width, height, 1, 2)) {
        return Some(half_blocks);
    }
    fits(room(width, height, 2, 4)).then_some(eight_dots as Way)
}

fn too_small(width: u32, height: u32, (columns, rows): (u16, u16)) -> String {
    let (wide, high) = room(width, height, 2, 4);
    format!("this terminal has {columns} columns and {rows} rows; at least {wide} and {high} are needed")
}

/// What a frame is late by, in words; empty when it is not late.
pub fn lateness(played: &Played, period: Nanoseconds) -> String {
    match played.time.late(period) {
        Nanoseconds(0) => String::new(),
        late => format!("   {} ms late", number(late.milliseconds().round())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_below_end_with_a_whole_part() {
        assert_eq!(fitting(" scene sonar   contrast 255   cue -", 30), " scene sonar   contrast 255");
        assert_eq!(fitting("this terminal has 9 columns", 9), "this");
        assert_eq!((fitting("short", 9), fitting("µµµµ", 2)), ("short", "µµ"));
    }

    #[test]
    fn the_largest_letters_that_fit_are_taken() {
        let rows = |size| way(72, 40, size).map(|way| way(&Bitmap::new(72, 40)).len());
        assert_eq!([(80, 24), (73, 24), (72, 24), (80, 23)].map(rows), [Some(20), Some(20), Some(10), Some(10)]);
        assert_eq!([(37, 14), (36, 14), (37, 13)].map(rows), [Some(10), None, None]);
        assert_eq!(
            too_small(72, 40, (30, 10)),
            "this terminal has 30 columns and 10 rows; at least 37 and 14 are needed"
        );
    }
}
