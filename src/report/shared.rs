//! Who has the bus, scene by scene: the display, the other devices, what is left, and who waits for whom; nothing without others.

use super::Subject;
use crate::budget::{SceneShare, scene_shares};
use crate::diag::number;
use maud::{Markup, html};

const WIDTH: f64 = 100.0;
const HEIGHT: f64 = 10.0;

/// A table with a bar for each scene.
pub fn shared(subject: &Subject<'_>) -> Markup {
    let shares = scene_shares(subject.show, subject.loads);
    let period = subject.show.frame_rate().period().milliseconds();
    html! {
        @if !shares.is_empty() {
            div .tables .shares-frame tabindex="0" role="region" aria-label="Use of the bus" {
                table #shared-bus .shares {
                    caption { "Bus time: " span .bar-key {} " display, " span .bar-key .others {} " other devices, and free time" }
                    thead { tr {
                        th scope="col" { "scene" }
                        th scope="col" { "part of the bus time" }
                        @for head in ["display", "others", "left", "mean frame", "worst frame", "with other devices", "others wait", "player waits"] {
                            th scope="col" .number { (head) }
                        }
                    } }
                    tbody { @for (scene, share) in subject.show.scenes().iter().zip(&shares) {
                        tr .over[share.left() < 0.0 || share.worst_together_milliseconds > period] {
                            th scope="row" { (scene.name) }
                            td { (bar(share)) }
                            @for part in [share.display, share.others, share.left()] { td .number { (number(part)) " %" } }
                            @for time in times(share) { td .number { (number(time)) " ms" } }
                        }
                    } }
                }
            }
            p .key {
                "A frame has " (number(period)) " ms. “With other devices”: the worst frame and every transaction of other devices that can fall into it. "
                "“Others wait”: the longest call of the player. “Player waits”: one transaction of each other device."
            }
        }
    }
}

fn times(share: &SceneShare) -> [f64; 5] {
    [
        share.mean_milliseconds,
        share.worst_milliseconds,
        share.worst_together_milliseconds,
        share.others_wait_milliseconds,
        share.waits_for_all_milliseconds,
    ]
}

/// The whole width is the whole bus, or all that is asked of it where that is more.
fn bar(share: &SceneShare) -> Markup {
    let unit = WIDTH / share.all().max(WIDTH);
    let (display, others) = (share.display * unit, share.others * unit);
    let label = format!("display {} %, others {} %", number(share.display), number(share.others));
    html! {
        svg .share role="img" aria-label=(label) viewBox={"0 0 " (WIDTH) " " (HEIGHT)} preserveAspectRatio="none" {
            rect .whole x="0" y="0" width=(WIDTH) height=(HEIGHT) {}
            rect .bar x="0" y="0" width=(format!("{display:.2}")) height=(HEIGHT) {}
            rect .bar .others x=(format!("{display:.2}")) y="0" width=(format!("{others:.2}")) height=(HEIGHT) {}
        }
    }
}
