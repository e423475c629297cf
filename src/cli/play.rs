//! A show live in the terminal: the shipped player at its own pace on the modelled glass, keys for triggers.

use crate::preview::{Played, Stage, half_blocks};
use crate::reel::Reel;
use crate::show::{Show, TriggerId};
use crate::units::Nanoseconds;
use crossterm::event::{Event, KeyCode, KeyEvent, KeyEventKind, KeyModifiers, poll, read};
use crossterm::{cursor, execute, queue, style::Print, terminal};
use std::io::{self, IsTerminal, Write};
use std::time::{Duration, Instant};

/// Keys for triggers, in the order of the show's list; `q` ends.
const KEYS: &str = "123456789abcdefghijklmnop";

/// The terminal in its own screen, put back as it was when dropped.
struct Screen;

impl Screen {
    fn open() -> io::Result<Self> {
        terminal::enable_raw_mode()?;
        execute!(io::stdout(), terminal::EnterAlternateScreen, cursor::Hide)?;
        Ok(Self)
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        // Nothing more can be done for a terminal that is gone.
        let _ = execute!(io::stdout(), cursor::Show, terminal::LeaveAlternateScreen);
        let _ = terminal::disable_raw_mode();
    }
}

/// What a person asks for with a key.
enum Wish {
    Trigger(TriggerId),
    End,
}

/// Plays until `q`, Escape or Control-C; `Err` says in words why it cannot.
pub fn play(show: &Show, reel: &Reel) -> Result<(), String> {
    if !io::stdout().is_terminal() || !io::stdin().is_terminal() {
        return Err("standard input and output must be a terminal".into());
    }
    let screen = Screen::open().map_err(|why| why.to_string())?;
    let outcome = run(show, reel);
    drop(screen);
    outcome
}

fn run(show: &Show, reel: &Reel) -> Result<(), String> {
    let mut stage = Stage::new(show, &reel.bytes, &reel.fields);
    let (period, begun) = (show.frame_rate().period(), Instant::now());
    let mut cue = String::from("-");
    loop {
        let played = stage.frame()?;
        if let Some(last) = played.cues.last() {
            cue = show.cues().get(usize::from(*last)).cloned().unwrap_or_default();
        }
        // On the chip's time: a frame that is late there is late here.
        let shown = begun + Duration::from_nanos(played.time.shown(period).0);
        let wish = wait(show, shown).map_err(|why| why.to_string())?;
        draw(show, &played, period, &cue).map_err(|why| why.to_string())?;
        match wish {
            Some(Wish::End) => return Ok(()),
            Some(Wish::Trigger(trigger)) => stage.trigger(trigger),
            None => {}
        }
    }
}

/// Waits until a time; a key before it is answered at once, and the frame keeps its time.
fn wait(show: &Show, due: Instant) -> io::Result<Option<Wish>> {
    let mut wish = None;
    while poll(due.saturating_duration_since(Instant::now()))? {
        if let Event::Key(key) = read()?
            && key.kind == KeyEventKind::Press
            && let Some(wished) = meaning(show, key)
        {
            if matches!(wished, Wish::End) {
                return Ok(Some(wished));
            }
            wish = Some(wished);
        }
    }
    Ok(wish)
}

fn meaning(show: &Show, key: KeyEvent) -> Option<Wish> {
    match key.code {
        KeyCode::Esc | KeyCode::Char('q') => Some(Wish::End),
        KeyCode::Char('c') if key.modifiers.contains(KeyModifiers::CONTROL) => Some(Wish::End),
        KeyCode::Char(pressed) => {
            let number = KEYS.chars().position(|known| known == pressed)?;
            (number < show.triggers().len()).then_some(Wish::Trigger(TriggerId(number)))
        }
        _ => None,
    }
}

fn draw(show: &Show, played: &Played, period: Nanoseconds, cue: &str) -> io::Result<()> {
    let shown = &played.shown;
    let mut out = io::stdout().lock();
    queue!(out, cursor::MoveTo(0, 0))?;
    let dark = !shown.on;
    for row in half_blocks(&shown.picture) {
        let row = if dark { " ".repeat(row.chars().count()) } else { row };
        queue!(
            out,
            Print(" "),
            Print(row),
            terminal::Clear(terminal::ClearType::UntilNewLine),
            cursor::MoveToNextLine(1)
        )?;
    }
    let keys: Vec<String> =
        KEYS.chars().zip(show.triggers()).map(|(key, trigger)| format!("{key} {trigger}")).collect();
    let late = match played.time.late(period) {
        Nanoseconds(0) => String::new(),
        late => format!("   {:.0} ms late", late.milliseconds()),
    };
    for line in [
        String::new(),
        format!(" scene {}   contrast {}   cue {cue}{late}", shown.scene, shown.contrast),
        format!(" {}   q end", keys.join("   ")),
    ] {
        queue!(out, Print(line), terminal::Clear(terminal::ClearType::UntilNewLine), cursor::MoveToNextLine(1))?;
    }
    out.flush()
}
