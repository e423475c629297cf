//! Reading the other devices on the bus: `others: [Device(name: "depth sensor", writes: 1, reads: 6, times_a_second: 20)]`.

use super::hardware::read_address;
use super::{Context, Names, Numeric};
use crate::diag::{Finding, Findings};
use crate::show::Device;
use crate::source::{Fields, Node, Placed, Shape, report_wrong};
use crate::units::Nanoseconds;
use crate::whole::{limited, rounded};

/// Bytes of one transaction, up to a whole page of a large memory chip.
const BYTES: (f64, f64) = (0.0, 4096.0);
/// From once in a quarter of an hour to more than any bus carries.
const TIMES_A_SECOND: (f64, f64) = (0.001, 100_000.0);
/// Milliseconds for which a device may hold the clock: a slow sensor does while it measures.
const STRETCHES: (f64, f64) = (0.0, 1000.0);
const NANOSECONDS_PER_MILLISECOND: f64 = 1e6;
/// Addresses of seven bits that fit on one bus beside the reserved ones (UM10204 Rev 7.0 §3.1.12), that of the display aside.
const MOST_DEVICES: usize = 111;

/// Reads the list; two devices at one address, or one at the display's, are reported.
pub fn read_devices(
    node: &Node,
    display: Option<u32>,
    context: &Context<'_, '_>,
    findings: &mut Findings,
) -> Option<Vec<Device>> {
    let Shape::List(items) = &node.shape else {
        report_wrong(node, "a list of Device(…) in [ ]", findings);
        return None;
    };
    if items.len() > MOST_DEVICES {
        let message = format!("there are {} other devices on the bus; the limit is {MOST_DEVICES}", items.len());
        findings.push(Finding::error(node.span, message).hint("list only devices that are used while the show plays"));
        return None;
    }
    let mut names = Names::new("device");
    let read: Vec<Option<Device>> = items.iter().map(|item| read_device(item, &mut names, context, findings)).collect();
    for (number, device) in read.iter().enumerate() {
        let Some(device) = device else { continue };
        report_address(device, display, read[..number].iter().flatten(), findings);
    }
    read.into_iter().collect()
}

fn read_device(node: &Node, names: &mut Names, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Device> {
    if node.head() != Some("Device") {
        report_wrong(node, "Device(name: …, writes: …, reads: …, times_a_second: …)", findings);
        return None;
    }
    let mut fields = Fields::open(node, "Device", findings)?;
    let name = fields.required::<Placed<String>>("name", findings);
    if let Some(name) = &name {
        names.declare(name.clone(), findings);
    }
    let mut whole = |name, (lowest, highest), usual| {
        Numeric::plain(name, lowest, highest).take_whole(&mut fields, Some(usual), context, findings)
    };
    let (writes, reads) = (whole("writes", BYTES, 0.0), whole("reads", BYTES, 0.0));
    let address = match fields.node("address") {
        Some(node) => read_address(node, context, findings).map(Some),
        None => Some(None),
    };
    let mut number = |name, (lowest, highest), usual| {
        Numeric::plain(name, lowest, highest).take(&mut fields, usual, context, findings)
    };
    let times_a_second = number("times_a_second", TIMES_A_SECOND, None);
    let stretch = number("stretch_milliseconds", STRETCHES, Some(0.0));
    let scenes = fields.or::<Vec<Placed<String>>>("scenes", Vec::new(), findings);
    fields.close(findings);
    let scenes = scenes?.iter().flat_map(|scene| context.scenes_of(scene, findings)).collect();
    let (writes, reads) = (writes?, reads?);
    if writes + reads == 0 {
        let finding = Finding::error(node.span, "this device transfers no bytes");
        findings.push(finding.hint("give the bytes of one transaction in `writes` or `reads`, without the address"));
        return None;
    }
    Some(Device {
        name: name?.value,
        address: address?.map(limited),
        writes,
        reads,
        times_a_second: times_a_second?,
        stretch: Nanoseconds(rounded(stretch? * NANOSECONDS_PER_MILLISECOND)),
        scenes,
        span: node.span,
    })
}

fn report_address<'a>(
    device: &Device,
    display: Option<u32>,
    mut before: impl Iterator<Item = &'a Device>,
    findings: &mut Findings,
) {
    const FIX: &str = "change one address with its address pin or solder bridge";
    let Some(address) = device.address else { return };
    let name = &device.name;
    if display == Some(u32::from(address)) {
        let message = format!("`{name}` has the address of the display, {address:#04X}");
        findings.push(Finding::error(device.span, message).hint(FIX));
    } else if let Some(other) = before.find(|other| other.address == Some(address)) {
        let message = format!("`{name}` has the address of `{}`, {address:#04X}", other.name);
        findings.push(Finding::error(device.span, message).also(other.span, "the other device").hint(FIX));
    }
}
