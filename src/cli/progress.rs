//! Shows progress in a terminal when work takes more than half a second.

use crate::build::Steps;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal;
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::time::Duration;

const SHOWN_AFTER: Duration = Duration::from_millis(500);
const STEP: Duration = Duration::from_millis(100);
/// The line while it is not known how much there is to do, and once it is.
const UNKNOWN: &str = "{spinner} {msg}";
const KNOWN: &str = "{spinner} {msg:24} {bar:30} {pos} of {len}";

/// A line for the current stage. It disappears when it is dropped.
pub struct ProgressLine {
    bar: ProgressBar,
    /// Ends the wait for the time from which on the line is shown.
    _waits: Option<Sender<()>>,
}

impl ProgressLine {
    /// Nothing shown yet; never anything where the standard error is no terminal.
    pub fn new() -> Self {
        let mut progress = Self::on(ProgressDrawTarget::hidden());
        if std::io::stderr().is_terminal() {
            progress._waits = Some(show_later(progress.bar.clone()));
        }
        progress
    }

    fn on(target: ProgressDrawTarget) -> Self {
        Self { bar: ProgressBar::with_draw_target(None, target), _waits: None }
    }
}

impl Steps for ProgressLine {
    fn stage(&self, name: &'static str) {
        self.bar.set_style(style(UNKNOWN));
        self.bar.unset_length();
        self.bar.set_position(0);
        self.bar.set_message(name);
    }

    fn done(&self, all: usize) {
        if self.bar.length() != Some(all as u64) {
            self.bar.set_style(style(KNOWN));
            self.bar.set_length(all as u64);
        }
        self.bar.inc(1);
    }
}

fn style(template: &str) -> ProgressStyle {
    // The templates above are well formed, as a test shows; the library's own would do as well.
    ProgressStyle::with_template(template).unwrap_or_else(|_| ProgressStyle::default_bar()).progress_chars("█▌░")
}

/// Shows the line once its time has come, unless the sender is dropped before.
fn show_later(bar: ProgressBar) -> Sender<()> {
    let (sender, receiver) = channel();
    std::thread::spawn(move || {
        if receiver.recv_timeout(SHOWN_AFTER) == Err(RecvTimeoutError::Timeout) {
            bar.set_draw_target(ProgressDrawTarget::stderr());
            bar.enable_steady_tick(STEP);
        }
    });
    sender
}

impl Drop for ProgressLine {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use indicatif::TermLike;
    use std::io::Result;
    use std::sync::{Arc, Mutex};

    /// A terminal that keeps what is written to it.
    #[derive(Clone, Debug, Default)]
    struct Paper(Arc<Mutex<String>>);

    impl TermLike for Paper {
        fn width(&self) -> u16 {
            80
        }
        fn move_cursor_up(&self, _: usize) -> Result<()> {
            Ok(())
        }
        fn move_cursor_down(&self, _: usize) -> Result<()> {
            Ok(())
        }
        fn move_cursor_right(&self, _: usize) -> Result<()> {
            Ok(())
        }
        fn move_cursor_left(&self, _: usize) -> Result<()> {
            Ok(())
        }
        fn write_line(&self, text: &str) -> Result<()> {
            self.write_str(text)
        }
        fn write_str(&self, text: &str) -> Result<()> {
            self.0.lock().expect("one thread").push_str(text);
            Ok(())
        }
        fn clear_line(&self) -> Result<()> {
            self.0.lock().expect("one thread").clear();
            Ok(())
        }
        fn flush(&self) -> Result<()> {
            Ok(())
        }
    }

    #[test]
    fn the_line_tells_the_stage_and_how_much_is_done_and_vanishes() {
        let paper = Paper::default();
        let line = || paper.0.lock().expect("one thread").clone();
        let progress = ProgressLine::on(ProgressDrawTarget::term_like(Box::new(paper.clone())));
        let words = || {
            progress.bar.force_draw();
            line()
        };
        progress.stage("drawing");
        assert!(words().contains("drawing") && !words().contains(" of "), "{}", line());
        (0..3).for_each(|_| progress.done(4));
        assert!(words().contains("drawing") && words().contains("3 of 4") && words().contains('█'), "{}", line());
        progress.stage("planning");
        assert!(words().contains("planning") && !words().contains(" of "), "{}", line());
        progress.done(2);
        assert!(words().contains("1 of 2"), "{}", line());
        drop(progress);
        assert!(!line().contains("planning"), "{}", line());
    }
}
