//! The map as SVG: line styles and words tell what colours tell too, and the colours follow the reader's light or dark ground.

use super::graph::Graph;
use super::layout::{CHARACTER_WIDTH, LINE, MARGIN, MapLayout, NodeBox, PADDING, TITLE_LINE};
use super::route::{EdgeRoute, HEAD};
use maud::{Markup, PreEscaped, html};

const STYLE: &str = include_str!("map.css");
/// From the top of a line to the feet of its letters.
const FEET: f64 = 12.5;
/// What the lines mean: the class of a sample line, and words.
const LEGEND: [(&str, &str); 2] =
    [("follows", "follows without a trigger"), ("trigger", "on a trigger; in a band: from most scenes")];
const SAMPLE: f64 = 34.0;

/// Draws a graph that was laid out.
pub fn draw(graph: &Graph, layout: &MapLayout) -> Markup {
    let MapLayout { width, height, .. } = layout;
    html! {
        svg .scene-map xmlns="http://www.w3.org/2000/svg" role="img" aria-label={"Map of the scenes. " (in_words(graph))}
            viewBox={"0 0 " (point(*width)) " " (point(*height))} width=(point(*width)) height=(point(*height)) style={"width:" (point(*width)) "px"} {
            style { (PreEscaped(STYLE)) }
            rect .ground width="100%" height="100%" {}
            @for (edge, route) in graph.edges.iter().zip(&layout.routes) { (way(route, edge.follows)) }
            @for (node, frame) in graph.nodes.iter().zip(&layout.frames) {
                @if node.starts { (start(frame)) }
                (scene(node, frame))
            }
            @for (edge, route) in graph.edges.iter().zip(&layout.routes) {
                (label(route, edge))
            }
            (legend(*height))
        }
    }
}

/// The map in words, for readers who cannot see it.
fn in_words(graph: &Graph) -> String {
    let title = |node: usize| graph.nodes[node].title.as_str();
    let starts = graph.nodes.iter().filter(|node| node.starts).map(|node| format!("{} starts.", node.title));
    let calls =
        graph.nodes.iter().flat_map(|node| node.calls.iter().map(|call| format!("To {} on {call}.", node.title)));
    let ways = graph.edges.iter().map(|edge| {
        let on = if edge.follows { "" } else { "on " };
        format!("{} to {} {on}{}.", title(edge.from), title(edge.to), edge.label)
    });
    starts.chain(ways).chain(calls).collect::<Vec<_>>().join(" ")
}

/// A label on its way, with the ground behind it.
fn label(route: &EdgeRoute, edge: &super::graph::Edge) -> Markup {
    let (left, top, right, bottom) = route.label_area();
    html! {
        rect .ground x=(point(left)) y=(point(top)) width=(point(right - left)) height=(point(bottom - top)) {}
        @for (number, line) in route.label.lines.iter().enumerate() {
            text .of-trigger[!edge.follows] x=(point(route.middle.0)) y=(point(top + LINE * number as f64 + FEET)) text-anchor="middle" { (line.trim()) }
        }
    }
}

fn way(route: &EdgeRoute, follows: bool) -> Markup {
    let class = if follows { "follows" } else { "trigger" };
    let (x, y) = route.tip;
    let back = if route.down { y - HEAD } else { y + HEAD };
    let head = [(x, y), (x - HEAD / 2.0, back), (x + HEAD / 2.0, back)];
    let points: Vec<String> = head.iter().map(|(x, y)| format!("{},{}", point(*x), point(*y))).collect();
    html! {
        path .way .(class) d=(route.path) {}
        polygon .head .(class) points=(points.join(" ")) {}
    }
}

fn start(frame: &NodeBox) -> Markup {
    /// How far above its box the mark stands.
    const ABOVE: f64 = 26.0;
    let (x, top) = (frame.left + frame.width / 2.0, frame.top);
    let tip =
        format!("{x:.1},{top:.1} {:.1},{:.1} {:.1},{:.1}", x - HEAD / 2.0, top - HEAD, x + HEAD / 2.0, top - HEAD);
    html! {
        circle .head .follows cx=(point(x)) cy=(point(top - ABOVE)) r="6" {}
        path .way .follows d={"M" (point(x)) " " (point(top - ABOVE)) "V" (point(top - HEAD))} {}
        polygon .head .follows points=(tip) {}
        text x=(point(x + 12.0)) y=(point(top - ABOVE + 4.0)) { "start" }
    }
}

fn scene(node: &super::graph::SceneNode, frame: &NodeBox) -> Markup {
    let NodeBox { left, top, width, height, calls, lines } = frame;
    let body = frame.body();
    let text = left + PADDING;
    html! {
        g .lost[node.unreached] .trap[node.trap] {
            rect .box x=(point(*left)) y=(point(*top)) width=(point(*width)) height=(point(*height)) rx="6" {}
            @if node.trap { rect .inner x=(point(left + 3.0)) y=(point(top + 3.0)) width=(point(width - 6.0)) height=(point(height - 6.0)) rx="4" {} }
            @if !calls.is_empty() { path .band d=(band(frame)) {} }
            @for (number, call) in calls.iter().enumerate() {
                text .of-trigger x=(point(text)) y=(point(top + PADDING / 2.0 + LINE * number as f64 + FEET)) { (call) }
            }
            text .title x=(point(text)) y=(point(body + PADDING + FEET + 1.0)) { (node.title) }
            @for (number, line) in lines.iter().enumerate() {
                @let last = lines.len() - number;
                @let warns = node.trap && last == 1 || node.unreached && last == 1 + usize::from(node.trap);
                @let set_in = if line.starts_with("  ") { 2.0 * CHARACTER_WIDTH } else { 0.0 };
                text .warns[warns] x=(point(text + set_in)) y=(point(body + PADDING + TITLE_LINE + LINE * number as f64 + FEET)) { (line.trim()) }
            }
        }
    }
}

/// The band of triggers, round at its upper corners as the box is.
fn band(frame: &NodeBox) -> String {
    let NodeBox { left, top, width, .. } = frame;
    let inner = width - 14.0;
    format!(
        "M{:.1} {:.1}v-{:.1}q0 -6 6 -6h{inner:.1}q6 0 6 6V{:.1}z",
        left + 1.0,
        frame.body(),
        frame.body() - top - 7.0,
        frame.body()
    )
}

fn legend(height: f64) -> Markup {
    let top = height - MARGIN - LINE * LEGEND.len() as f64;
    html! {
        @for (number, (class, words)) in LEGEND.iter().enumerate() {
            @let y = top + LINE * number as f64 + LINE / 2.0;
            path .way .(class) d={"M" (point(MARGIN)) " " (point(y)) "h" (point(SAMPLE))} {}
            text x=(point(MARGIN + SAMPLE + 8.0)) y=(point(y + 4.0)) { (words) }
        }
    }
}

/// A length with a tenth of a unit.
fn point(value: f64) -> String {
    format!("{value:.1}")
}

#[cfg(test)]
mod tests {
    use super::STYLE;
    use crate::report::page::tests::relative_luminance;

    /// The colour that a rule gives in the light (0) or dark (1) part of the style sheet.
    fn colour(rule: &str, property: &str, part: usize) -> [u8; 3] {
        let (light, dark) = STYLE.split_once("@media").expect("a dark part");
        let text = if part == 0 { light } else { dark };
        let rule = text.split(&format!(".scene-map {rule} {{")).nth(1).unwrap_or_else(|| panic!("no {rule}"));
        let body = rule.split('}').next().unwrap_or_default();
        let value = body.split(&format!("{property}: #")).nth(1).unwrap_or_else(|| panic!("no {property} of {rule}"));
        [0, 2, 4].map(|at| u8::from_str_radix(&value[at..at + 2], 16).expect("six digits"))
    }

    /// WCAG 2.x 1.4.3: 4.5 to 1 for text; 1.4.11: 3 to 1 for lines and edges that tell something.
    #[test]
    fn words_and_lines_stand_out_in_light_and_in_dark() {
        for part in [0, 1] {
            let pairs = [
                (("text", "fill"), ("ground", "fill"), 4.5),
                (("text", "fill"), ("box", "fill"), 4.5),
                (("text.of-trigger", "fill"), ("band", "fill"), 4.5),
                (("text.of-trigger", "fill"), ("ground", "fill"), 4.5),
                (("text.warns", "fill"), ("box", "fill"), 4.5),
                (("box", "stroke"), ("ground", "fill"), 3.0),
                (("way", "stroke"), ("ground", "fill"), 3.0),
                (("way.trigger", "stroke"), ("ground", "fill"), 3.0),
            ];
            for ((rule, property), (ground, of_ground), least) in pairs {
                let dotted = |rule: &str| if rule.starts_with("text") { rule.to_owned() } else { format!(".{rule}") };
                let of = |rule: &str, property: &str| relative_luminance(colour(&dotted(rule), property, part));
                let (one, other) = (of(rule, property), of(ground, of_ground));
                let found = (one.max(other) + 0.05) / (one.min(other) + 0.05);
                assert!(found >= least, "{rule} on {ground} in part {part}: {found:.2}");
            }
        }
    }
}
