//! Reads `Live(…)`, a number that the firmware sets. The first use of a name has all fields. Later uses need only the name.

use super::{Context, Numeric};
use crate::diag::{Finding, Findings, Span, nearest};
use crate::show::{Following, LiveId, LiveValue, Track};
use crate::source::{Fields, Node, Placed, Shape, report_wrong};
use crate::whole::rounded;

/// The most live values of a show; each takes state of the player.
pub(super) const MOST_VALUES: usize = 40;
/// Values that firmware may set, and how far the highest may be above the lowest.
const VALUES: (f64, f64) = (-32_768.0, 32_767.0);
const WIDEST: f64 = 32_767.0;
/// Steps in which a value is drawn; the player keeps a byte.
const STEPS: (f64, f64) = (1.0, 255.0);
/// The range of a share.
const SHARE: (f64, f64) = (0.0, 1.0);

/// What a `Live` says of its value beside the name.
struct Said {
    from: Option<f64>,
    to: Option<f64>,
    steps: Option<f64>,
    start: Option<f64>,
}

impl Numeric {
    /// Reads `Live(name: "level", from: 0, to: 100, steps: 50)` for a number that may move.
    pub fn live(&self, node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Track> {
        let mut fields = Fields::open(node, "Live", findings)?;
        let name = fields.required::<Placed<String>>("name", findings);
        let said = read_said(&mut fields, context, findings);
        let samples = fields.node("samples");
        let bounds = ["low", "high"].map(|name| {
            let node = fields.node(name)?;
            Some(Numeric { name, ..*self }.read(node, context, findings))
        });
        fields.close(findings);
        let (name, said) = (name?, said?);
        let value = known(&name, node.span, &said, samples, context, findings)?;
        let lives = context.lives.borrow();
        let live = lives.get(value.0)?;
        let (from, to) = if self.range == SHARE { SHARE } else { (f64::from(live.from), f64::from(live.to)) };
        let [low, high] = bounds;
        let (low, high) = (low.unwrap_or(Some(from))?, high.unwrap_or(Some(to))?);
        if let Some(beyond) = [low, high].into_iter().find(|bound| !(self.range.0..=self.range.1).contains(bound)) {
            let message =
                format!("at one end of the live value, `{}` would be {beyond}, which is out of range", self.name);
            let hint = format!(
                "add `low` and `high`, the numbers at the two ends of the live value: from {} to {}",
                self.range.0, self.range.1
            );
            findings.push(Finding::error(node.span, message).hint(hint));
            return None;
        }
        let following = Following { value, low, high, steps: live.steps };
        Some(Track { live: Some(following), ..Track::still(following.at(live.step(live.start))) })
    }
}

/// `None` after a finding.
fn read_said(fields: &mut Fields<'_>, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Said> {
    let mut whole = |name: &'static str, range: (f64, f64)| match fields.node(name) {
        None => Some(None),
        Some(node) => {
            let value = Numeric { name, range, axis: None }.read(node, context, findings)?;
            if value.fract() != 0.0 {
                let message =
                    format!("`{name}` must be a whole number, not {value}, as the firmware sets whole numbers");
                findings.push(
                    Finding::error(node.span, message)
                        .hint("`low` and `high` can give the layer numbers with decimals"),
                );
                return None;
            }
            Some(Some(value))
        }
    };
    let (from, to) = (whole("from", VALUES), whole("to", VALUES));
    let (steps, start) = (whole("steps", STEPS), whole("start", VALUES));
    Some(Said { from: from?, to: to?, steps: steps?, start: start? })
}

/// The live value of a name, which is declared by its first mention.
fn known(
    name: &Placed<String>,
    whole: Span,
    said: &Said,
    samples: Option<&Node>,
    context: &Context<'_, '_>,
    findings: &mut Findings,
) -> Option<LiveId> {
    let found = context.lives.borrow().iter().position(|live| live.name == name.value);
    match found {
        Some(found) => agrees(found, name, said, samples, context, findings).then_some(LiveId(found)),
        None => declare(name, whole, said, samples, context, findings),
    }
}

/// Whether a later mention says the same as the first; what it leaves out is the same.
fn agrees(
    found: usize,
    name: &Placed<String>,
    said: &Said,
    samples: Option<&Node>,
    context: &Context<'_, '_>,
    findings: &mut Findings,
) -> bool {
    let lives = context.lives.borrow();
    let first = &lives[found];
    let own = [
        ("from", said.from, f64::from(first.from)),
        ("to", said.to, f64::from(first.to)),
        ("steps", said.steps, f64::from(first.steps)),
        ("start", said.start, f64::from(first.start)),
    ];
    let other = own.iter().find(|(_, said, first)| said.is_some_and(|said| said != *first));
    if let Some((field, Some(said), first_said)) = other {
        let message = format!("the live value `{}` has `{field}: {first_said}` and `{field}: {said}`", name.value);
        let finding = Finding::error(name.span, message).also(first.span, "first used here");
        findings.push(finding.hint("write it only where the name is first used, or use another name"));
        return false;
    }
    if let Some(node) = samples
        && read_samples(node, (first.from, first.to), context, findings).is_none_or(|samples| samples != first.samples)
    {
        let message = format!("the live value `{}` has samples twice", name.value);
        let finding = Finding::error(node.span, message).also(first.span, "first used here");
        findings.push(finding.hint("write samples only where the name is first used"));
        return false;
    }
    true
}

fn declare(
    name: &Placed<String>,
    whole: Span,
    said: &Said,
    samples: Option<&Node>,
    context: &Context<'_, '_>,
    findings: &mut Findings,
) -> Option<LiveId> {
    let mut refuse = |message: String, hint: &str| {
        findings.push(Finding::error(whole, message).hint(hint));
        None
    };
    if name.value.trim().is_empty() {
        return refuse("a live value needs a name".into(), "write a name between the quotes");
    }
    if name.value.contains(char::is_control) {
        return refuse("the name of a live value cannot contain line breaks or tabs".into(), "write it in one line");
    }
    let (Some(from), Some(to), Some(steps)) = (said.from, said.to, said.steps) else {
        let message = format!("the first `Live` named `{}` must have `from`, `to` and `steps`", name.value);
        let example = "for example `Live(name: \"level\", from: 0, to: 100, steps: 50)`";
        let meant = |near| format!("did you mean `{near}`? A new live value needs all three, {example}");
        let hint = near(name, context).map_or(example.into(), meant);
        return refuse(message, &hint);
    };
    if to <= from {
        let message = format!("`to` must be above `from`, but {to} is not above {from}");
        return refuse(message, "exchange them; to reverse a layer, make its `low` greater than its `high`");
    }
    if to - from > WIDEST {
        return refuse(format!("from {from} to {to} are more than {WIDEST} values"), "use a larger unit");
    }
    if steps > to - from {
        let message = format!("there are {} values above `from`, but {steps} steps", to - from);
        return refuse(message, "use no more steps than that");
    }
    let start = said.start.unwrap_or(from);
    if !(from..=to).contains(&start) {
        return refuse(format!("`start` must be from {from} to {to}, not {start}"), "use a value of the range");
    }
    if context.lives.borrow().len() == MOST_VALUES {
        return refuse(
            format!("this is live value {}; the limit is {MOST_VALUES}", MOST_VALUES + 1),
            "let several layers follow the same value",
        );
    }
    let ends = (rounded(from), rounded(to));
    let samples = match samples {
        Some(node) => read_samples(node, ends, context, findings)?,
        None => Track::still(start),
    };
    let mut lives = context.lives.borrow_mut();
    lives.push(LiveValue {
        name: name.value.clone(),
        span: name.span,
        from: ends.0,
        to: ends.1,
        steps: rounded(steps),
        start: rounded(start),
        samples,
    });
    Some(LiveId(lives.len() - 1))
}

/// The live value that a name may mean: one that is used before, and that the script itself names.
fn near(name: &Placed<String>, context: &Context<'_, '_>) -> Option<String> {
    let lives = context.lives.borrow();
    let of_text = |number: usize| context.live_texts.iter().any(|text| text.values().contains(&number));
    let named = lives.iter().enumerate().filter(|(number, _)| !of_text(*number)).map(|(_, live)| live.name.as_str());
    nearest(&name.value, named).map(str::to_owned)
}

/// `samples: [(0, 20), (2, 80, InOut)]`.
fn read_samples(
    node: &Node,
    (from, to): (i16, i16),
    context: &Context<'_, '_>,
    findings: &mut Findings,
) -> Option<Track> {
    let number = Numeric::plain("a sample", f64::from(from), f64::from(to));
    match (node.head(), &node.shape) {
        (_, Shape::List(items)) => number.key_frames(node, items, context, findings),
        (Some("Live") | None, _) => {
            report_wrong(node, "a list of samples [(0, 20), (2, 80, InOut), …], or a number that moves", findings);
            None
        }
        _ => number.track(node, context, findings),
    }
}
