//! A word on what goes on, shown on a terminal when the work takes over half a second.

use indicatif::{ProgressBar, ProgressDrawTarget};
use std::io::IsTerminal;
use std::time::{Duration, Instant};

const SHOWN_AFTER: Duration = Duration::from_millis(500);
const STEP: Duration = Duration::from_millis(100);

/// The word; it vanishes when it is dropped.
pub struct Progress {
    bar: ProgressBar,
    since: Instant,
}

impl Progress {
    /// Nothing shown yet.
    pub fn new() -> Self {
        Self { bar: ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden()), since: Instant::now() }
    }

    /// Says what goes on now.
    pub fn tell(&self, what: &'static str) {
        self.bar.set_message(what);
        if self.bar.is_hidden() && self.since.elapsed() > SHOWN_AFTER && std::io::stderr().is_terminal() {
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
            self.bar.enable_steady_tick(STEP);
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
