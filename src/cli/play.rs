//! A show live in the terminal: the shipped player at its own pace on the modelled display, keys for triggers, pause, steps, restart.

use super::screen::{Screen, lateness};
use crate::preview::{Played, Stage};
use crate::reel::Reel;
use crate::show::{Show, TriggerId};
use crate::whole::limited;
use crossterm::event::{Event, KeyCode, KeyEvent, KeyEventKind, KeyModifiers, poll, read};
use std::io::{self, IsTerminal};
use std::time::{Duration, Instant};

/// Keys for triggers, in the order of the show's list; the others are in [`HELP`].
const KEYS: &str = "123456789abcdefghijklmnop";
const HELP: &str = " q quits   space pauses   → steps   r restarts";

/// What a person asks for with a key.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Wish {
    Trigger(TriggerId),
    Pause,
    Step,
    Restart,
    End,
    /// The next live value is the one that keys change.
    Choose,
    /// The current live value increases by this number of hundredths of its range.
    Turn(i32),
    /// The terminal has another size.
    Redraw,
}

/// By how many hundredths of its range a key changes a live value.
const KEY_HUNDREDTHS: i32 = 5;

/// The live values as keys set them, in place of their samples.
struct Turned {
    set: Vec<Option<i16>>,
    shown: Vec<i16>,
    chosen: usize,
}

impl Turned {
    fn of(show: &Show) -> Self {
        let shown = show.live().iter().map(|live| live.start).collect();
        Self { set: vec![None; show.live().len()], shown, chosen: 0 }
    }

    /// What they are where these are the samples.
    fn values(&mut self, samples: Vec<i16>) -> Vec<i16> {
        self.shown = samples.into_iter().zip(&self.set).map(|(sample, set)| set.unwrap_or(sample)).collect();
        self.shown.clone()
    }

    fn choose(&mut self) {
        self.chosen = (self.chosen + 1) % self.set.len().max(1);
    }

    fn turn(&mut self, show: &Show, hundredths: i32) {
        let Some(live) = show.live().get(self.chosen) else { return };
        let least = hundredths.signum();
        let by = i32::from(live.range()) * hundredths / 100;
        let by = if by == 0 { least } else { by };
        let value = (i32::from(self.shown[self.chosen]) + by).clamp(live.from.into(), live.to.into());
        let value = limited(value);
        self.set[self.chosen] = Some(value);
        self.shown[self.chosen] = value;
    }

    /// The chosen value in words; nothing where there is none.
    fn words(&self, show: &Show) -> String {
        let chosen = show.live().get(self.chosen).zip(self.shown.get(self.chosen));
        chosen.map_or(String::new(), |(live, value)| format!("   {} {value} (Tab, ↑, ↓)", live.name))
    }
}

/// Plays until `q`, Escape or Control-C; `Err` says in words why it cannot.
pub fn play(show: &Show, reel: &Reel) -> Result<(), String> {
    if !io::stdout().is_terminal() || !io::stdin().is_terminal() {
        return Err("standard input and output must be a terminal".into());
    }
    let (width, height) = show.view_size();
    let mut screen = Screen::open(width, height)?;
    run(show, reel, &mut screen)
}

fn run(show: &Show, reel: &Reel, screen: &mut Screen) -> Result<(), String> {
    let period = show.frame_rate().period();
    let (mut stage, mut begun) = (Stage::new(show, &reel.bytes, &reel.fields), Instant::now());
    let (mut cue, mut paused, mut live) = (String::from("-"), false, Turned::of(show));
    loop {
        let mut raised = None;
        stage.set_values(&live.values(stage.next_samples()));
        let played = stage.frame()?;
        if let Some(last) = played.cues.last() {
            cue = show.cues().get(usize::from(*last)).cloned().unwrap_or_default();
        }
        // On the chip's time: a frame that is late there is late here.
        let after = Duration::from_nanos(played.time.shown(period).0);
        let before = if paused { None } else { wait(show, Some(begun + after)).map_err(|why| why.to_string())? };
        let mut wish = before;
        loop {
            match wish.take() {
                Some(Wish::End) => return Ok(()),
                // While it is paused, it takes effect with the next step.
                Some(Wish::Trigger(trigger)) => {
                    stage.trigger(trigger);
                    raised = Some(trigger);
                }
                Some(Wish::Restart) => {
                    (stage, begun) = (Stage::new(show, &reel.bytes, &reel.fields), Instant::now());
                    break;
                }
                Some(Wish::Step) if paused => break,
                Some(Wish::Pause | Wish::Step) => {
                    paused = !paused;
                    begun = Instant::now().checked_sub(after).unwrap_or(begun);
                }
                Some(Wish::Choose) => live.choose(),
                Some(Wish::Turn(by)) => live.turn(show, by),
                Some(Wish::Redraw) | None => {}
            }
            let below = below(show, &played, (&cue, &live), (paused, raised));
            screen.draw(&played, below).map_err(|why| why.to_string())?;
            if !paused {
                break;
            }
            wish = wait(show, None).map_err(|why| why.to_string())?;
        }
    }
}

/// Waits until a time, or for a key where there is none. Of several keys before a time the last one counts, and an end at once.
fn wait(show: &Show, due: Option<Instant>) -> io::Result<Option<Wish>> {
    let mut wish = None;
    loop {
        if let Some(due) = due
            && !poll(due.saturating_duration_since(Instant::now()))?
        {
            return Ok(wish);
        }
        let asked = match read()? {
            Event::Key(key) if key.kind == KeyEventKind::Press => meaning(show, key),
            Event::Resize(..) => wish.or(Some(Wish::Redraw)),
            _ => None,
        };
        wish = asked.or(wish);
        if wish == Some(Wish::End) || due.is_none() && wish.is_some() {
            return Ok(wish);
        }
    }
}

fn meaning(show: &Show, key: KeyEvent) -> Option<Wish> {
    match key.code {
        KeyCode::Esc | KeyCode::Char('q') => Some(Wish::End),
        KeyCode::Char('c') if key.modifiers.contains(KeyModifiers::CONTROL) => Some(Wish::End),
        KeyCode::Char(' ') => Some(Wish::Pause),
        KeyCode::Right => Some(Wish::Step),
        KeyCode::Tab => Some(Wish::Choose),
        KeyCode::Up => Some(Wish::Turn(KEY_HUNDREDTHS)),
        KeyCode::Down => Some(Wish::Turn(-KEY_HUNDREDTHS)),
        KeyCode::Char('r') => Some(Wish::Restart),
        KeyCode::Char(pressed) => {
            let number = KEYS.chars().position(|known| known == pressed)?;
            (number < show.triggers().len()).then_some(Wish::Trigger(TriggerId(number)))
        }
        _ => None,
    }
}

/// The lines below the picture.
fn below(
    show: &Show,
    played: &Played,
    (cue, live): (&str, &Turned),
    (paused, raised): (bool, Option<TriggerId>),
) -> [String; 4] {
    let keys: Vec<String> =
        KEYS.chars().zip(show.triggers()).map(|(key, trigger)| format!("{key} {trigger}")).collect();
    let (shown, late) = (&played.shown, lateness(played, show.frame_rate().period()));
    let live = live.words(show);
    let waiting = raised.and_then(|raised| show.triggers().get(raised.0)).filter(|_| paused);
    let waiting = waiting.map_or(String::new(), |name| format!(", {name} raised"));
    let state = if paused { format!("   paused{waiting}") } else { String::new() };
    let count = show.scenes().get(usize::from(played.scene)).map_or(0, |scene| scene.frames.0);
    let seconds = show.frame_rate().seconds_at(played.frame);
    let frame = format!("frame {} of {count}, {seconds:.2} s", played.frame + 1);
    let playing =
        format!(" scene {}{state}   {frame}   contrast {}   cue {cue}{live}{late}", shown.scene, shown.contrast);
    [String::new(), playing, format!(" {}", keys.join("   ")), HELP.to_owned()]
}
