//! Finds what the layers draw outside the display or behind the bezel, by layer and frame.

use super::study::Study;
use super::{Budget, Figure};
use crate::diag::{Finding, Findings, number_of};
use crate::show::{Drawing, Layer, Show};

/// Checks what can be seen; hidden ink is a warning, since the show works without it.
pub fn visible(show: &Show, studies: &[Vec<Study<'_>>], findings: &mut Findings) -> Budget {
    let window = show.mounting().visible(show.panel());
    let (mut outside, mut behind) = (0, 0);
    for study in studies.iter().flatten() {
        outside += usize::from(study.outside.0 > 0);
        behind += usize::from(study.behind.0 > 0);
        report(study, findings);
    }
    let source = "each layer is drawn alone; a pixel counts as visible if its whole dot is inside the opening";
    let (width, height) = show.view_size();
    let seen = f64::from(window.width * window.height) / f64::from(width * height);
    let figures = vec![
        Figure::new("visible part of the display", seen * 100.0, "%")
            .headline()
            .from("pixels whose whole dot lies inside the opening / all", source),
        Figure::new("layers that reach outside the display", outside as f64, "").headline().from("counted", source),
        Figure::new("layers that reach behind the bezel", behind as f64, "").headline().from("counted", source),
    ];
    Budget { title: "visible window", figures }
}

fn report(study: &Study<'_>, findings: &mut Findings) {
    let Study { scene, layer, .. } = study;
    let name = &layer.name;
    if study.drawn && !study.seen {
        let message = format!(
            "`{name}` in scene `{}` is never visible: it is completely outside the display or behind the bezel",
            scene.name
        );
        findings.push(Finding::warning(layer.span, message).hint("move it into the visible area, or remove it"));
        return;
    }
    if let (count, Some(frame)) = study.outside
        && !fills(layer)
    {
        let message = format!(
            "`{name}` reaches outside the display: up to {} cut off, first at frame {frame} of scene `{}`",
            number_of(count, "pixel"),
            scene.name
        );
        findings.push(Finding::warning(layer.span, message).hint("move it, or make it smaller"));
    }
    if let (count, Some(frame)) = study.behind
        && !fills(layer)
    {
        let message = format!(
            "`{name}` reaches behind the bezel: up to {} hidden, first at frame {frame} of scene `{}`",
            number_of(count, "pixel"),
            scene.name
        );
        findings.push(Finding::warning(layer.span, message).hint("move it, or make the opening larger"));
    }
}

/// Filled rectangles are backgrounds, which may well reach beyond what is seen.
fn fills(layer: &Layer) -> bool {
    matches!(&layer.drawing, Drawing::Rectangle(rectangle) if rectangle.fill)
}
