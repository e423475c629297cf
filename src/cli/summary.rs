//! What a build came to, as a person likes to read it.

use super::production::Production;

/// A few lines on the show, its flash and its bus.
pub fn summary(production: &Production) -> String {
    let (show, reel) = (&production.show, &production.reel);
    let panel = show.panel();
    let rate = show.frame_rate();
    let frames: u32 = show.scenes().iter().map(|scene| scene.frames.0).sum();
    let mut lines = vec![format!(
        "{}: {} scenes, {frames} frames at {} a second on {}",
        show.name(),
        show.scenes().len(),
        rate.frames_per_second(),
        panel.name
    )];
    let seconds = rate.seconds_at(production.rehearsal.shown.len() as u32);
    lines.push(format!("  rehearsed  every scene as drawn, pixel by pixel; {seconds:.1} s shown in the preview"));
    lines.push(format!("  flash      {} bytes of reel", reel.bytes.len()));
    lines.join("\n")
}
