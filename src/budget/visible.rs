//! The visible window: what the layers draw outside the glass or behind the bezel, named by layer and frame.

use super::{Budget, Figure};
use crate::diag::{Finding, Findings};
use crate::panel::PixelRectangle;
use crate::render::{Ink, layer_ink};
use crate::show::{Drawing, Layer, Scene, Show};
use rayon::prelude::*;

/// What of a layer cannot be seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Hidden {
    /// Marks outside the glass: the most in one frame, and the first frame with one.
    outside: (usize, Option<u32>),
    /// Marks behind the bezel likewise.
    behind: (usize, Option<u32>),
    /// Whether any mark can be seen in any frame.
    seen: bool,
    /// Whether there is any mark at all.
    drawn: bool,
}

/// Checks what can be seen; hidden ink is a warning, since the show works without it.
pub fn visible(show: &Show, findings: &mut Findings) -> Budget {
    let window = show.mounting().visible(show.panel());
    let (mut outside, mut behind) = (0, 0);
    let layers: Vec<(&Scene, &Layer)> =
        show.scenes().iter().flat_map(|scene| scene.layers.iter().map(move |layer| (scene, layer))).collect();
    let all: Vec<Hidden> = layers.par_iter().map(|(scene, layer)| hidden(show, scene, layer, window)).collect();
    for ((scene, layer), hidden) in layers.into_iter().zip(all) {
        outside += usize::from(hidden.outside.0 > 0);
        behind += usize::from(hidden.behind.0 > 0);
        report(scene, layer, hidden, findings);
    }
    let source = "rendered layer by layer; a pixel counts as seen when its whole dot is inside the opening";
    let (width, height) = show.view_size();
    let seen = f64::from(window.width * window.height) / f64::from(width * height);
    let figures = vec![
        Figure::new("share of the glass that is seen", seen * 100.0, "%")
            .headline()
            .from("pixels whose whole dot lies inside the opening / all", source),
        Figure::new("layers that reach outside the glass", outside as f64, "").headline().from("counted", source),
        Figure::new("layers that reach behind the bezel", behind as f64, "").headline().from("counted", source),
    ];
    Budget { title: "visible window", figures }
}

fn hidden(show: &Show, scene: &Scene, layer: &Layer, window: PixelRectangle) -> Hidden {
    let mut hidden = Hidden::default();
    for frame in 0..scene.frames.0 {
        let Some(ink) = layer_ink(show, layer, frame) else { continue };
        let Ink { inside, outside, .. } = &ink;
        let lit = inside.lit();
        let behind = inside.lit_pixels().filter(|(x, y)| !window.contains(*x, *y)).count();
        let raise = |most: &mut (usize, Option<u32>), count: usize| {
            if count > 0 {
                *most = (most.0.max(count), most.1.or(Some(frame)));
            }
        };
        raise(&mut hidden.outside, *outside);
        raise(&mut hidden.behind, behind);
        hidden.seen |= lit > behind;
        hidden.drawn |= lit > 0 || *outside > 0;
    }
    hidden
}

fn report(scene: &Scene, layer: &Layer, hidden: Hidden, findings: &mut Findings) {
    let name = &layer.name;
    if hidden.drawn && !hidden.seen {
        let message =
            format!("`{name}` in scene `{}` is never seen: all of it is outside the glass or hidden", scene.name);
        findings.push(Finding::warning(layer.span, message).hint("move it into view, or remove it"));
        return;
    }
    if let (count, Some(frame)) = hidden.outside
        && !fills(layer)
    {
        let message = format!(
            "`{name}` reaches outside the glass: up to {count} pixels of it are lost, first at frame {frame} of scene `{}`",
            scene.name
        );
        findings.push(Finding::warning(layer.span, message).hint("move it, or make it smaller"));
    }
    if let (count, Some(frame)) = hidden.behind
        && !fills(layer)
    {
        let message = format!(
            "`{name}` reaches behind the bezel: up to {count} pixels of it are hidden, first at frame {frame} of scene `{}`",
            scene.name
        );
        findings.push(Finding::warning(layer.span, message).hint("move it, or make the opening larger"));
    }
}

/// Filled rectangles are backgrounds, which may well reach beyond what is seen.
fn fills(layer: &Layer) -> bool {
    matches!(&layer.drawing, Drawing::Rectangle(rectangle) if rectangle.fill)
}
