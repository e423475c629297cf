//! Reads numbers that can move: a constant, a ramp, key frames, a swing back and forth, or random values from a seed.

use super::words::word;
use super::{Axis, Context, FieldSlot, Numeric, ReadField};
use crate::diag::{Finding, Findings, nearest};
use crate::show::natural::{LayerEnd, track_end};
use crate::show::{Ease, Key, Track};
use crate::source::{Fields, Node, Shape, report_wrong};

/// The most key frames of one number.
const MOST_KEYS: usize = 1000;

/// The forms of a moving number.
const MOVES: &[&str] = &["Ramp", "Keys", "Swing", "Random", "Live"];

impl ReadField for Track {
    const FORM: &'static str = "a number that may move";
    type Usual = f64;

    fn read(node: &Node, slot: &FieldSlot, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
        let axis = match slot.name {
            "width" | "x" => Some(Axis::X),
            "height" | "radius" | "y" => Some(Axis::Y),
            _ => None,
        };
        Numeric::of(slot, axis).track(node, context, findings)
    }
    fn usual(value: f64) -> Self {
        Self::still(value)
    }
    fn end(&self) -> LayerEnd {
        track_end(self)
    }
    fn tracks(&mut self, visit: &mut dyn FnMut(&mut Track)) {
        visit(self);
    }
}

/// A number that may be left out altogether.
impl ReadField for Option<Track> {
    const FORM: &'static str = Track::FORM;
    type Usual = Option<f64>;

    fn read(node: &Node, slot: &FieldSlot, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
        Track::read(node, slot, context, findings).map(Some)
    }
    fn usual(value: Option<f64>) -> Self {
        value.map(Track::still)
    }
    fn end(&self) -> LayerEnd {
        self.as_ref().map_or(LayerEnd::Still, track_end)
    }
    fn tracks(&mut self, visit: &mut dyn FnMut(&mut Track)) {
        self.iter_mut().for_each(visit);
    }
}

impl Numeric {
    /// Reads a number that can move. All of its values must be in the range.
    pub fn track(&self, node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Track> {
        match (node.head(), &node.shape) {
            (Some("Ramp"), _) => self.ramp(node, context, findings),
            (Some("Keys"), _) => self.keys(node, context, findings),
            (Some("Swing"), _) => self.swing(node, context, findings),
            (Some("Random"), _) => self.random(node, context, findings),
            (Some("Live"), _) => self.live(node, context, findings),
            // A bracket without field names is a length in some unit where there are lengths.
            (Some(other), shape)
                if matches!(shape, Shape::Record(..)) || self.axis.is_none() && matches!(shape, Shape::Tuple(..)) =>
            {
                let finding =
                    Finding::error(node.span, format!("`{other}` is not a kind of moving number for `{}`", self.name));
                findings.push(match nearest(other, MOVES.iter().copied()) {
                    Some(near) => finding.hint(format!("did you mean `{near}`?")),
                    None => finding.hint(format!("use a number, or {}", MOVES.join("(…), ") + "(…)")),
                });
                None
            }
            _ => self.read(node, context, findings).map(Track::still),
        }
    }

    /// Reads a number that can move, but cannot follow a live value. The hint says what to do instead.
    pub fn own_track(
        &self,
        node: &Node,
        hint: &str,
        context: &Context<'_, '_>,
        findings: &mut Findings,
    ) -> Option<Track> {
        if node.head() == Some("Live") {
            let message = format!("`{}` cannot follow a live value", self.name);
            findings.push(Finding::error(node.span, message).hint(hint));
            return None;
        }
        self.track(node, context, findings)
    }

    fn ramp(&self, node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Track> {
        let mut fields = Fields::open(node, "Ramp", findings)?;
        let from = self.field(&mut fields, "from", context, findings);
        let to = self.field(&mut fields, "to", context, findings);
        let start = Numeric::seconds("start").take(&mut fields, Some(0.0), context, findings);
        let seconds = Numeric::seconds("seconds").take(&mut fields, None, context, findings);
        let ease = ease(&mut fields, Ease::Linear, findings);
        let repeat = fields.or("repeat", false, findings);
        fields.close(findings);
        let (start, seconds, ease) = (start?, seconds?, ease?);
        let keys = vec![key(start, from?, Ease::Linear), key(start + seconds, to?, ease)];
        Some(Track { keys, repeat: repeat?, live: None })
    }

    /// A move to the other end and back, without end.
    fn swing(&self, node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Track> {
        let mut fields = Fields::open(node, "Swing", findings)?;
        let from = self.field(&mut fields, "from", context, findings);
        let to = self.field(&mut fields, "to", context, findings);
        let period = Numeric::plain("seconds", SHORTEST_PERIOD, LONGEST_PERIOD);
        let seconds = period.take(&mut fields, None, context, findings);
        let ease = ease(&mut fields, Ease::IN_OUT, findings);
        fields.close(findings);
        let (from, to, seconds, ease) = (from?, to?, seconds?, ease?);
        let keys = vec![key(0.0, from, Ease::Linear), key(seconds / 2.0, to, ease), key(seconds, from, ease)];
        Some(Track { keys, repeat: true, live: None })
    }

    /// A new value every so often, drawn from a seed; after [`DRAWS`] values it begins again.
    fn random(&self, node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Track> {
        let mut fields = Fields::open(node, "Random", findings)?;
        let from = self.field(&mut fields, "from", context, findings);
        let to = self.field(&mut fields, "to", context, findings);
        let period = Numeric::plain("every", SHORTEST_PERIOD, LONGEST_PERIOD);
        let every = period.take(&mut fields, None, context, findings);
        let seed = fields.required::<u32>("seed", findings);
        let ease = ease(&mut fields, Ease::Step, findings);
        fields.close(findings);
        let (from, to, every, ease) = (from?, to?, every?, ease?);
        let mut state = seed?;
        let mut keys: Vec<Key> = (0..DRAWS)
            .map(|count| key(f64::from(count) * every, from + (to - from) * draw(&mut state), ease))
            .collect();
        let first = keys[0].value;
        keys.push(key(f64::from(DRAWS) * every, first, ease));
        Some(Track { keys, repeat: true, live: None })
    }

    fn keys(&self, node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Track> {
        let (list, repeat) = match &node.shape {
            Shape::Tuple(_, items) if items.len() == 1 => (&items[0], Some(false)),
            _ => {
                let mut fields = Fields::open(node, "Keys", findings)?;
                let list = fields.node("points");
                if list.is_none() {
                    fields.report_lack("points", findings);
                }
                let repeat = fields.or("repeat", false, findings);
                fields.close(findings);
                (list?, repeat)
            }
        };
        let Shape::List(points) = &list.shape else {
            report_wrong(list, "a list of key frames [(seconds, value), …]", findings);
            return None;
        };
        let track = self.key_frames(list, points, context, findings)?;
        Some(Track { repeat: repeat?, ..track })
    }

    /// Key frames in a list.
    pub(super) fn key_frames(
        &self,
        list: &Node,
        points: &[Node],
        context: &Context<'_, '_>,
        findings: &mut Findings,
    ) -> Option<Track> {
        if points.is_empty() || points.len() > MOST_KEYS {
            let message = format!("a moving number needs 1 to {MOST_KEYS} key frames, not {}", points.len());
            let hint = "write `[(0, value), (seconds, value), …]`; use `repeat: true` for long courses";
            findings.push(Finding::error(list.span, message).hint(hint));
            return None;
        }
        let read: Vec<Option<Key>> = points.iter().map(|point| self.point(point, context, findings)).collect();
        let keys: Vec<Key> = read.into_iter().collect::<Option<_>>()?;
        let late = keys.windows(2).position(|pair| pair[1].seconds <= pair[0].seconds);
        if let Some(late) = late {
            let (first, second) = (keys[late].seconds, keys[late + 1].seconds);
            let message = format!("the times of key frames must increase, but {second} s follows {first} s");
            findings.push(Finding::error(points[late + 1].span, message).hint("use `Step` for a jump"));
            return None;
        }
        Some(Track { keys, repeat: false, live: None })
    }

    fn point(&self, node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Key> {
        let items = node.items();
        if !matches!(node.shape, Shape::Tuple(None, _)) || !(2..=3).contains(&items.len()) {
            report_wrong(node, "a key frame (seconds, value) or (seconds, value, ease)", findings);
            return None;
        }
        let seconds = Numeric::seconds("seconds").read(&items[0], context, findings);
        let value = self.read(&items[1], context, findings);
        let ease = match items.get(2) {
            Some(node) => word(node, "ease", Ease::WORDS, findings),
            None => Some(Ease::Linear),
        };
        Some(key(seconds?, value?, ease?))
    }

    /// A field in this number's own range, such as the `from` of a ramp.
    fn field(
        &self,
        fields: &mut Fields<'_>,
        name: &'static str,
        context: &Context<'_, '_>,
        findings: &mut Findings,
    ) -> Option<f64> {
        Numeric { name, ..*self }.take(fields, None, context, findings)
    }
}

/// Values that a random number takes before it begins again.
const DRAWS: u32 = 256;
/// Seconds; shorter than any frame would be lost.
const SHORTEST_PERIOD: f64 = 0.01;
/// Seconds.
const LONGEST_PERIOD: f64 = 3600.0;

fn key(seconds: f64, value: f64, ease: Ease) -> Key {
    Key { seconds, value, ease }
}

fn ease(fields: &mut Fields<'_>, usual: Ease, findings: &mut Findings) -> Option<Ease> {
    fields.node("ease").map_or(Some(usual), |node| word(node, "ease", Ease::WORDS, findings))
}

/// The next number from 0 up to 1 of a multiply-with-xorshift mix of a counter (the finaliser of MurmurHash3, public domain).
fn draw(state: &mut u32) -> f64 {
    *state = state.wrapping_add(0x9E37_79B9);
    let mut mixed = *state;
    mixed = (mixed ^ mixed >> 16).wrapping_mul(0x85EB_CA6B);
    mixed = (mixed ^ mixed >> 13).wrapping_mul(0xC2B2_AE35);
    f64::from(mixed ^ mixed >> 16) / (f64::from(u32::MAX) + 1.0)
}
