//! Places everything on the map, in units of the drawing: boxes in rows, transitions between them, and labels where there is room.

use super::graph::{Graph, SceneNode};
use super::order::{RankItem, Ranks, chain, links, row_of, rows};
use super::route::{EdgeRoute, WayLabel, routes};

/// About the width of a character of each size of letters, and the height of a line.
pub const TITLE_WIDTH: f64 = 8.6;
pub const CHARACTER_WIDTH: f64 = 6.9;
pub const LINE: f64 = 17.0;
pub const TITLE_LINE: f64 = 20.0;
/// Around the words of a box.
pub const PADDING: f64 = 10.0;
const NARROWEST: f64 = 120.0;
/// So that the legend is on the map.
const NARROWEST_MAP: f64 = 340.0;
/// Characters of the longest line of a box; what is longer is broken.
const LONGEST_LINE: usize = 30;
/// Between boxes, between a way or label and what is beside it, and between rows.
const BESIDE: f64 = 46.0;
const BESIDE_WAYS: f64 = 16.0;
const BELOW: f64 = 36.0;
const BEND_WIDTH: f64 = 10.0;
pub const MARGIN: f64 = 16.0;
/// Above the first row, for the mark of the start; below the last one, for the legend.
const HEAD: f64 = 40.0;
const LEGEND: f64 = 104.0;
/// How often boxes are drawn towards their neighbours.
const PULLS: usize = 16;

/// A box of the map with its words, broken into lines.
#[derive(Clone, Debug, PartialEq)]
pub struct NodeBox {
    pub left: f64,
    pub top: f64,
    pub width: f64,
    pub height: f64,
    pub calls: Vec<String>,
    pub lines: Vec<String>,
}

impl NodeBox {
    /// Where its words begin, below the band of triggers.
    pub fn body(&self) -> f64 {
        self.top + band(self.calls.len())
    }
}

/// The whole map.
#[derive(Clone, Debug, PartialEq)]
pub struct MapLayout {
    pub width: f64,
    pub height: f64,
    /// One for each scene.
    pub frames: Vec<NodeBox>,
    /// One for each way.
    pub routes: Vec<EdgeRoute>,
}

fn band(lines: usize) -> f64 {
    if lines == 0 { 0.0 } else { LINE * lines as f64 + PADDING }
}

/// Lays a graph out.
pub fn layout(graph: &Graph) -> MapLayout {
    let rows = rows(graph);
    let mut frames: Vec<NodeBox> = graph.nodes.iter().map(frame).collect();
    let labels: Vec<WayLabel> = (0..graph.edges.len()).map(|way| label(graph, &rows, way)).collect();
    let (bands, bottom) = bands(&rows, &mut frames, &labels);
    let half = |item: RankItem| match item {
        RankItem::Scene(scene) => frames[scene].width / 2.0,
        RankItem::Bend(way, row) if labels[way].row == row => labels[way].width() / 2.0,
        RankItem::Bend(..) => BEND_WIDTH / 2.0,
    };
    let middles = middles(graph, &rows, half);
    let middle = |item: RankItem| {
        let row = row_of(&rows, item);
        let place = rows[row].iter().position(|known| *known == item).unwrap_or(0);
        middles[row][place]
    };
    for (scene, frame) in frames.iter_mut().enumerate() {
        frame.left = middle(RankItem::Scene(scene)) - frame.width / 2.0;
    }
    let routes = routes(graph, &rows, (&frames, &labels), &bands, middle);
    let right = frames.iter().map(|frame| frame.left + frame.width);
    let labels = routes.iter().map(|route| route.label_area().2);
    let bends = middles.iter().flatten().map(|middle| middle + BEND_WIDTH);
    let width = right.chain(labels).chain(bends).fold(NARROWEST_MAP, f64::max) + MARGIN;
    MapLayout { width, height: bottom + LEGEND + MARGIN, frames, routes }
}

/// Top and bottom of each row, and where the last one ends; boxes get their tops. A row of labels that is empty takes no room.
fn bands(rows: &Ranks, frames: &mut [NodeBox], labels: &[WayLabel]) -> (Vec<(f64, f64)>, f64) {
    let (mut top, mut bottom, mut bands) = (MARGIN + HEAD, MARGIN + HEAD, Vec::new());
    for row in rows {
        let mut height: f64 = 0.0;
        for item in row {
            height = height.max(match item {
                RankItem::Scene(scene) => {
                    frames[*scene].top = top;
                    frames[*scene].height
                }
                RankItem::Bend(way, _) => labels[*way].height(),
            });
        }
        bottom = top + height;
        bands.push((top, bottom));
        top = bottom + if row.is_empty() { 0.0 } else { BELOW };
    }
    (bands, bottom)
}

/// The label of a way, in the first row of labels that it passes.
fn label(graph: &Graph, rows: &Ranks, way: usize) -> WayLabel {
    let passed = chain(graph, rows, way);
    let row = passed.iter().find_map(|item| match item {
        RankItem::Bend(_, row) if row % 2 == 1 => Some(*row),
        _ => None,
    });
    // Every way passes a row of labels: one lies below each row of scenes.
    WayLabel { row: row.unwrap_or(0), lines: broken(std::slice::from_ref(&graph.edges[way].label)) }
}

/// A box at no place yet.
fn frame(node: &SceneNode) -> NodeBox {
    let (calls, mut lines) = (broken(&node.calls), broken(&node.lines));
    if node.unreached {
        lines.push("never reached".into());
    }
    if node.trap {
        lines.push("no way out".into());
    }
    let longest = calls.iter().chain(&lines).map(|line| line.chars().count()).max().unwrap_or(0) as f64;
    let words = (longest * CHARACTER_WIDTH).max(node.title.chars().count() as f64 * TITLE_WIDTH);
    let height = band(calls.len()) + 2.0 * PADDING + TITLE_LINE + LINE * lines.len() as f64;
    NodeBox { left: 0.0, top: 0.0, width: (words + 2.0 * PADDING).max(NARROWEST), height, calls, lines }
}

/// Lines broken at spaces. Continued lines are indented.
fn broken(lines: &[String]) -> Vec<String> {
    let mut broken = Vec::new();
    for line in lines {
        let mut current = String::new();
        for word in line.split(' ') {
            if !current.is_empty() && current.chars().count() + word.chars().count() >= LONGEST_LINE {
                broken.push(std::mem::replace(&mut current, "  ".into()));
            }
            if !current.trim().is_empty() {
                current.push(' ');
            }
            current.push_str(word);
        }
        broken.push(current);
    }
    broken
}

/// The middle of each item, row by row: near the middle of its neighbours, and clear of those beside it.
fn middles(graph: &Graph, rows: &Ranks, half: impl Fn(RankItem) -> f64 + Copy) -> Vec<Vec<f64>> {
    let links = links(graph, rows);
    let mut middles: Vec<Vec<f64>> = rows.iter().map(|row| apart(row, &vec![0.0; row.len()], half)).collect();
    for pull in 0..PULLS {
        let order: Vec<usize> = if pull % 2 == 0 { (0..rows.len()).collect() } else { (0..rows.len()).rev().collect() };
        for row in order {
            let wanted: Vec<Option<f64>> =
                rows[row].iter().map(|item| neighbours_middle(*item, row, rows, &links, &middles)).collect();
            middles[row] = apart(&rows[row], &beside(&rows[row], &wanted, half), half);
        }
    }
    let edges = rows.iter().zip(&middles).flat_map(|(row, middles)| {
        row.iter().zip(middles).map(move |(item, middle)| middle - half(*item)).collect::<Vec<_>>()
    });
    let left = edges.fold(f64::INFINITY, f64::min);
    middles.iter_mut().flatten().for_each(|middle| *middle += MARGIN - left);
    middles
}

fn neighbours_middle(
    item: RankItem,
    row: usize,
    rows: &Ranks,
    links: &[(RankItem, RankItem)],
    middles: &[Vec<f64>],
) -> Option<f64> {
    let others = links.iter().filter_map(|(one, other)| match item {
        item if item == *one => Some(*other),
        item if item == *other => Some(*one),
        _ => None,
    });
    let middle = |other: RankItem| {
        let at = row_of(rows, other);
        let place = rows[at].iter().position(|known| *known == other)?;
        (at != row).then(|| middles[at][place])
    };
    let found: Vec<f64> = others.filter_map(middle).collect();
    (!found.is_empty()).then(|| found.iter().sum::<f64>() / found.len() as f64)
}

/// What an item without neighbours wants is to stand beside the one before it in its row, or else behind it.
fn beside(row: &[RankItem], wanted: &[Option<f64>], half: impl Fn(RankItem) -> f64) -> Vec<f64> {
    let room = |left: usize| room(row[left], row[left + 1], &half);
    let first = wanted.iter().position(Option::is_some).unwrap_or(0);
    let mut middles = vec![wanted.get(first).copied().flatten().unwrap_or(0.0); row.len()];
    for at in (0..first).rev() {
        middles[at] = middles[at + 1] - room(at);
    }
    for at in first + 1..row.len() {
        middles[at] = wanted[at].unwrap_or(middles[at - 1] + room(at - 1));
    }
    middles
}

/// The least distance between the middles of two neighbours.
fn room(left: RankItem, right: RankItem, half: impl Fn(RankItem) -> f64) -> f64 {
    let scenes = matches!((left, right), (RankItem::Scene(_), RankItem::Scene(_)));
    half(left) + half(right) + if scenes { BESIDE } else { BESIDE_WAYS }
}

/// The middles of a row's items as near to those wanted as their widths allow, in the row's order.
fn apart(row: &[RankItem], wanted: &[f64], half: impl Fn(RankItem) -> f64) -> Vec<f64> {
    let room = |left: usize| room(row[left], row[left + 1], &half);
    let mut rightwards = wanted.to_vec();
    for at in 1..row.len() {
        rightwards[at] = rightwards[at].max(rightwards[at - 1] + room(at - 1));
    }
    let mut leftwards = wanted.to_vec();
    for at in (1..row.len()).rev() {
        leftwards[at - 1] = leftwards[at - 1].min(leftwards[at] - room(at - 1));
    }
    // The mean of two rows that keep their distances keeps them too.
    rightwards.iter().zip(&leftwards).map(|(one, other)| (one + other) / 2.0).collect()
}

#[cfg(test)]
mod tests {
    use super::super::graph::Edge;
    use super::*;
    use proptest::prelude::*;

    /// Left, top, right, bottom.
    type Area = (f64, f64, f64, f64);

    fn meet(one: Area, other: Area) -> bool {
        one.0 < other.2 && one.2 > other.0 && one.1 < other.3 && one.3 > other.1
    }

    /// Points along a way, near enough to each other that it cannot cross a line of text between two of them.
    fn points(route: &EdgeRoute) -> impl Iterator<Item = (f64, f64)> {
        const STEPS: u32 = 200;
        route.curves.iter().flat_map(|[from, one, other, to]| {
            (0..=STEPS).map(move |step| {
                let (share, rest) = (f64::from(step) / f64::from(STEPS), f64::from(STEPS - step) / f64::from(STEPS));
                let weights = [rest.powi(3), 3.0 * rest * rest * share, 3.0 * rest * share * share, share.powi(3)];
                let sum = |of: [f64; 4]| of.iter().zip(weights).map(|(value, weight)| value * weight).sum::<f64>();
                (sum([from.0, one.0, other.0, to.0]), sum([from.1, one.1, other.1, to.1]))
            })
        })
    }

    /// What is wrong with a map: boxes or labels over one another, ways across boxes or labels of others, or anything outside.
    fn faults(graph: &Graph) -> Vec<String> {
        const EDGE: f64 = 0.5;
        let layout = layout(graph);
        let boxes = layout.frames.iter().zip(&graph.nodes).map(|(frame, node)| {
            (node.title.clone(), (frame.left, frame.top, frame.left + frame.width, frame.top + frame.height))
        });
        let labels = layout.routes.iter().enumerate();
        let labels = labels.map(|(way, route)| (format!("label {way}"), route.label_area()));
        let areas: Vec<(String, Area)> = boxes.chain(labels).collect();
        let mut faults = Vec::new();
        for (number, (name, area)) in areas.iter().enumerate() {
            if area.0 < 0.0 || area.1 < 0.0 || area.2 > layout.width || area.3 > layout.height {
                faults.push(format!("{name} is outside the map"));
            }
            let over = areas[..number].iter().filter(|(_, other)| meet(*area, *other));
            faults.extend(over.map(|(other, _)| format!("{name} lies over {other}")));
            let inner = (area.0 + EDGE, area.1 + EDGE, area.2 - EDGE, area.3 - EDGE);
            for (way, route) in layout.routes.iter().enumerate().filter(|(way, _)| *name != format!("label {way}")) {
                if points(route).any(|(x, y)| meet(inner, (x, y, x, y))) {
                    faults.push(format!("way {way} crosses {name}"));
                }
            }
        }
        faults
    }

    proptest! {
        #[test]
        fn nothing_on_a_map_crosses_a_box_or_a_label(
            count in 1usize..14, ways in prop::collection::vec((0usize..14, 0usize..14, 1usize..60), 0..30),
        ) {
            let node = |number: usize| SceneNode {
                title: format!("scene {number}"),
                lines: vec!["ignores leak, rest, wake, knock and dawn".into(); number % 3],
                starts: number == 0,
                ..SceneNode::default()
            };
            let edge = |(from, to, length): &(usize, usize, usize)| Edge {
                from: from % count, to: to % count, follows: (from + to) % 2 == 0, label: "after 9 s, dusk ".repeat(length / 15 + 1),
            };
            let edges: Vec<Edge> = ways.iter().map(edge).filter(|edge| edge.from != edge.to).collect();
            let graph = Graph { nodes: (0..count).map(node).collect(), edges };
            prop_assert_eq!(faults(&graph), Vec::<String>::new());
        }
    }

    #[test]
    fn nothing_on_the_maps_of_the_shows_crosses_a_box_or_a_label() {
        use crate::diag::Findings;
        use crate::source::{Disk, Reader};
        for name in ["helm", "mast", "cabin", "dome", "sign", "bringup"] {
            let (mut reader, mut findings) = (Reader::new(&Disk), Findings::default());
            let path = std::path::PathBuf::from(format!("scenes/{name}.ron"));
            let show = crate::show::load(&mut reader, &path, &mut findings).expect("a show");
            assert_eq!(faults(&Graph::of(&show)), Vec::<String>::new(), "{name}");
        }
    }

    #[test]
    fn long_lines_are_broken_at_spaces() {
        let lines = broken(&["ignores leak, rest, wake, knock and dawn".to_owned()]);
        assert_eq!(lines, ["ignores leak, rest, wake,", "  knock and dawn"]);
    }
}
