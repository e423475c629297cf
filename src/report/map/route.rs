//! The ways on the map: curves that leave and enter boxes upright, each end at a place of its own, and labels clear of all else.

use super::graph::Graph;
use super::layout::{CHARACTER_WIDTH, LINE, NodeBox};
use super::order::{RankItem, Ranks, chain, row_of};

/// How deep a way between two boxes of one row hangs below them.
const DIP: f64 = 46.0;
/// Length of an arrow's head.
pub const HEAD: f64 = 8.0;
/// Where on a curve a label is tried, nearest to the middle first.
const TRIES: [f64; 9] = [0.5, 0.4, 0.6, 0.3, 0.7, 0.22, 0.78, 0.15, 0.85];

/// A way as drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeRoute {
    /// The path's commands.
    pub path: String,
    /// The tip of the arrow, and whether it points down.
    pub tip: (f64, f64),
    pub down: bool,
    /// The middle of the label's line.
    pub label: (f64, f64),
    pub label_width: f64,
}

/// A cubic curve.
type EdgeCurve = [(f64, f64); 4];

/// Which side of a box an end is at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum BoxSide {
    Top,
    Bottom,
}

/// An end of a way at a box.
struct EdgeEnd {
    way: usize,
    leaves: bool,
    scene: usize,
    side: BoxSide,
    /// Where the way goes to or comes from, for the order of ends.
    towards: f64,
}

/// All ways of the graph.
pub fn routes(
    graph: &Graph,
    rows: &Ranks,
    frames: &[NodeBox],
    bands: &[(f64, f64)],
    middle: impl Fn(RankItem) -> f64,
) -> Vec<EdgeRoute> {
    let chains: Vec<Vec<RankItem>> = (0..graph.edges.len()).map(|way| chain(graph, rows, way)).collect();
    let ends = ends(rows, &chains, &middle);
    let mut taken: Vec<(f64, f64, f64, f64)> = Vec::new();
    let mut routes = Vec::new();
    for (way, chain) in chains.iter().enumerate() {
        let (from, to) = (place(&ends, frames, way, true), place(&ends, frames, way, false));
        let curves = curves(chain, rows, bands, (from, to), &middle);
        let down = curves.last().is_some_and(|curve| curve[2].1 < to.1);
        let label_width = graph.edges[way].label.chars().count() as f64 * CHARACTER_WIDTH;
        let label = free_place(&curves, label_width, frames, &taken);
        taken.push(area(label, label_width));
        routes.push(EdgeRoute { path: path(&curves, to), tip: to, down, label, label_width });
    }
    routes
}

fn ends(rows: &Ranks, chains: &[Vec<RankItem>], middle: &impl Fn(RankItem) -> f64) -> Vec<EdgeEnd> {
    let mut ends = Vec::new();
    for (way, chain) in chains.iter().enumerate() {
        let (first, last) = (chain[0], chain[chain.len() - 1]);
        let (RankItem::Scene(from), RankItem::Scene(to)) = (first, last) else { continue };
        let (out, into) = match row_of(rows, first).cmp(&row_of(rows, last)) {
            std::cmp::Ordering::Less => (BoxSide::Bottom, BoxSide::Top),
            std::cmp::Ordering::Equal => (BoxSide::Bottom, BoxSide::Bottom),
            std::cmp::Ordering::Greater => (BoxSide::Top, BoxSide::Bottom),
        };
        ends.push(EdgeEnd { way, leaves: true, scene: from, side: out, towards: middle(chain[1]) });
        ends.push(EdgeEnd { way, leaves: false, scene: to, side: into, towards: middle(chain[chain.len() - 2]) });
    }
    ends
}

/// Where a way leaves or enters its box: the ends of one side are spread over it in the order of where they lead.
fn place(ends: &[EdgeEnd], frames: &[NodeBox], way: usize, leaves: bool) -> (f64, f64) {
    let Some(end) = ends.iter().find(|end| end.way == way && end.leaves == leaves) else { return (0.0, 0.0) };
    let mut beside: Vec<&EdgeEnd> =
        ends.iter().filter(|other| (other.scene, other.side) == (end.scene, end.side)).collect();
    beside.sort_by(|one, other| one.towards.total_cmp(&other.towards));
    let at = beside.iter().position(|other| (other.way, other.leaves) == (way, leaves)).unwrap_or(0);
    let frame = &frames[end.scene];
    let x = frame.left + frame.width * (at + 1) as f64 / (beside.len() + 1) as f64;
    (x, if end.side == BoxSide::Top { frame.top } else { frame.top + frame.height })
}

/// The curves of a way: from gap to gap, straight through the rows that it passes.
fn curves(
    chain: &[RankItem],
    rows: &Ranks,
    bands: &[(f64, f64)],
    (from, to): ((f64, f64), (f64, f64)),
    middle: &impl Fn(RankItem) -> f64,
) -> Vec<EdgeCurve> {
    let rows_of = (row_of(rows, chain[0]), row_of(rows, chain[chain.len() - 1]));
    if rows_of.0 == rows_of.1 {
        let low = bands[rows_of.0].1 + DIP;
        return vec![[from, (from.0, low), (to.0, low), to]];
    }
    let down = rows_of.0 < rows_of.1;
    let mut curves = Vec::new();
    let mut at = from;
    for item in &chain[1..chain.len() - 1] {
        let (top, bottom) = bands[row_of(rows, *item)];
        let (enter, leave) = if down { (top, bottom) } else { (bottom, top) };
        let x = middle(*item);
        curves.push(upright(at, (x, enter)));
        curves.push(upright((x, enter), (x, leave)));
        at = (x, leave);
    }
    curves.push(upright(at, to));
    curves
}

/// A curve that leaves and arrives upright.
fn upright(from: (f64, f64), to: (f64, f64)) -> EdgeCurve {
    let middle = (from.1 + to.1) / 2.0;
    [from, (from.0, middle), (to.0, middle), to]
}

fn path(curves: &[EdgeCurve], tip: (f64, f64)) -> String {
    let mut path = String::new();
    for (number, [from, one, other, to]) in curves.iter().enumerate() {
        if number == 0 {
            path.push_str(&format!("M{:.1} {:.1}", from.0, from.1));
        }
        // The line ends where the arrow's head begins.
        let end = if *to == tip { (to.0, to.1 + if one.1 < to.1 { -HEAD } else { HEAD }) } else { *to };
        path.push_str(&format!("C{:.1} {:.1} {:.1} {:.1} {:.1} {:.1}", one.0, one.1, other.0, other.1, end.0, end.1));
    }
    path
}

fn point(curve: &EdgeCurve, share: f64) -> (f64, f64) {
    let rest = 1.0 - share;
    let weights = [rest * rest * rest, 3.0 * rest * rest * share, 3.0 * rest * share * share, share * share * share];
    let sum = |of: fn(&(f64, f64)) -> f64| curve.iter().zip(weights).map(|(point, weight)| of(point) * weight).sum();
    (sum(|point| point.0), sum(|point| point.1))
}

fn area((x, y): (f64, f64), width: f64) -> (f64, f64, f64, f64) {
    (x - width / 2.0 - 2.0, y - LINE / 2.0, x + width / 2.0 + 2.0, y + LINE / 2.0)
}

/// The first place on the way where its label lies over no box and no other label, else the middle of the way.
fn free_place(curves: &[EdgeCurve], width: f64, frames: &[NodeBox], taken: &[(f64, f64, f64, f64)]) -> (f64, f64) {
    let is_free = |place: &(f64, f64)| {
        let (left, top, right, bottom) = area(*place, width);
        let over =
            |other: &(f64, f64, f64, f64)| left < other.2 && right > other.0 && top < other.3 && bottom > other.1;
        left >= 0.0 && !taken.iter().any(over) && !frames.iter().any(|frame| frame.meets((left, top, right, bottom)))
    };
    let places = || curves.iter().flat_map(|curve| TRIES.map(|share| point(curve, share)));
    places().find(is_free).unwrap_or_else(|| curves.first().map_or((0.0, 0.0), |curve| point(curve, 0.5)))
}
