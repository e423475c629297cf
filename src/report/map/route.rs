//! Draws transitions: curves that leave and enter boxes vertically, each at its own place, and labels that nothing crosses.

use super::graph::Graph;
use super::layout::{CHARACTER_WIDTH, LINE, NodeBox};
use super::order::{RankItem, Ranks, chain, row_of};
use std::cmp::Ordering;

/// Half the width of the turn of a way between two boxes of one row.
const TURN: f64 = 8.0;
/// Length of an arrow's head.
pub const HEAD: f64 = 8.0;
/// The label of a way: the row that it is in, and its words in lines.
#[derive(Clone, Debug, PartialEq)]
pub struct WayLabel {
    pub row: usize,
    pub lines: Vec<String>,
}

impl WayLabel {
    /// About how wide its longest line is.
    pub fn width(&self) -> f64 {
        self.lines.iter().map(|line| line.chars().count()).max().unwrap_or(0) as f64 * CHARACTER_WIDTH
    }
    /// How high its lines are.
    pub fn height(&self) -> f64 {
        self.lines.len() as f64 * LINE
    }
}

/// A way as drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeRoute {
    /// The path's commands.
    pub path: String,
    /// The tip of the arrow, and whether it points down.
    pub tip: (f64, f64),
    pub down: bool,
    /// Its curves one after another, as four points each.
    pub curves: Vec<EdgeCurve>,
    /// The middle of the label.
    pub middle: (f64, f64),
    pub label: WayLabel,
}

impl EdgeRoute {
    /// The label's rectangle: left, top, right, bottom.
    pub fn label_area(&self) -> (f64, f64, f64, f64) {
        let ((x, y), width, height) = (self.middle, self.label.width(), self.label.height());
        (x - width / 2.0, y - height / 2.0, x + width / 2.0, y + height / 2.0)
    }
}

/// A cubic curve.
pub type EdgeCurve = [(f64, f64); 4];

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
    (frames, labels): (&[NodeBox], &[WayLabel]),
    bands: &[(f64, f64)],
    middle: impl Fn(RankItem) -> f64,
) -> Vec<EdgeRoute> {
    let chains: Vec<Vec<RankItem>> = (0..graph.edges.len()).map(|way| chain(graph, rows, way)).collect();
    let ends = ends(rows, &chains, &middle);
    let route = |(way, chain): (usize, &Vec<RankItem>)| {
        let (from, to) = (place(&ends, frames, way, true), place(&ends, frames, way, false));
        let curves = curves(chain, rows, bands, (from, to), &middle);
        let down = curves.last().is_some_and(|curve| curve[2].1 < to.1);
        let label = labels[way].clone();
        let (top, bottom) = bands[label.row];
        let middle = (middle(RankItem::Bend(way, label.row)), (top + bottom) / 2.0);
        EdgeRoute { path: path(&curves, to), tip: to, down, curves, middle, label }
    };
    chains.iter().enumerate().map(route).collect()
}

fn ends(rows: &Ranks, chains: &[Vec<RankItem>], middle: &impl Fn(RankItem) -> f64) -> Vec<EdgeEnd> {
    let mut ends = Vec::new();
    for (way, chain) in chains.iter().enumerate() {
        let (first, last) = (chain[0], chain[chain.len() - 1]);
        let (RankItem::Scene(from), RankItem::Scene(to)) = (first, last) else { continue };
        let (out, into) = match row_of(rows, first).cmp(&row_of(rows, last)) {
            Ordering::Less => (BoxSide::Bottom, BoxSide::Top),
            Ordering::Equal => (BoxSide::Bottom, BoxSide::Bottom),
            Ordering::Greater => (BoxSide::Top, BoxSide::Bottom),
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

/// The curves of a way: bent between the rows, straight through those that it passes, so that it crosses no box and no other label.
fn curves(
    chain: &[RankItem],
    rows: &Ranks,
    bands: &[(f64, f64)],
    (from, to): ((f64, f64), (f64, f64)),
    middle: &impl Fn(RankItem) -> f64,
) -> Vec<EdgeCurve> {
    let [first, last] = [chain[0], chain[chain.len() - 1]].map(|item| row_of(rows, item));
    let mut curves = Vec::new();
    let mut at = from;
    let mut lead = |to: (f64, f64)| {
        if to != at {
            curves.push(upright(at, to));
        }
        at = to;
    };
    // Boxes end at different heights; their row ends where the highest one does.
    let edge = |row: usize, (x, y): (f64, f64)| (x, if y > bands[row].0 { bands[row].1 } else { y });
    lead(edge(first, from));
    for item in &chain[1..chain.len() - 1] {
        let (top, bottom) = bands[row_of(rows, *item)];
        let x = middle(*item);
        // A way within a row turns behind its label.
        let (turn, depth) = (TURN * (to.0 - from.0).signum(), (top + bottom) / 2.0);
        let passed = match first.cmp(&last) {
            Ordering::Less => vec![(x, top), (x, bottom)],
            Ordering::Greater => vec![(x, bottom), (x, top)],
            Ordering::Equal => vec![(x - turn, top), (x - turn, depth), (x + turn, depth), (x + turn, top)],
        };
        passed.into_iter().for_each(&mut lead);
    }
    lead(edge(last, to));
    lead(to);
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
