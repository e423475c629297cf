//! Intel HEX: bytes for a programmer that writes flash at a stated address (Intel, Hexadecimal Object File Format, Rev A, 1988).

/// Data bytes of one line.
const IN_A_LINE: usize = 16;
const DATA: u8 = 0;
const END: u8 = 1;
const UPPER_ADDRESS: u8 = 4;

/// The bytes from `address` on, with upper-address records where the low 16 bits wrap; lines end with a line feed.
pub fn intel_hex(bytes: &[u8], address: u32) -> String {
    let mut text = String::new();
    let mut upper = 0u16;
    let mut at = address;
    let mut rest = bytes;
    while !rest.is_empty() {
        let [lowest, low, high, highest] = at.to_le_bytes();
        if u16::from_le_bytes([high, highest]) != upper {
            upper = u16::from_le_bytes([high, highest]);
            text.push_str(&line(0, UPPER_ADDRESS, &upper.to_be_bytes()));
        }
        let lower = u16::from_le_bytes([lowest, low]);
        let to_wrap = 0x1_0000 - usize::from(lower);
        let (now, later) = rest.split_at(rest.len().min(IN_A_LINE).min(to_wrap));
        text.push_str(&line(lower, DATA, now));
        at = at.wrapping_add(crate::whole::limited(now.len()));
        rest = later;
    }
    text.push_str(&line(0, END, &[]));
    text
}

/// One record; its bytes and its checksum add up to 0 in the low eight bits.
fn line(address: u16, kind: u8, data: &[u8]) -> String {
    let [high, low] = address.to_be_bytes();
    // A record takes at most `IN_A_LINE` bytes.
    let length = u8::try_from(data.len()).unwrap_or(u8::MAX);
    let mut record = vec![length, high, low, kind];
    record.extend(data);
    let sum = record.iter().fold(0u8, |sum, byte| sum.wrapping_add(*byte));
    record.push(sum.wrapping_neg());
    let digits: String = record.iter().map(|byte| format!("{byte:02X}")).collect();
    format!(":{digits}\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked lines after Intel's definition, checksums computed by hand.
    #[test]
    fn the_worked_lines_come_out() {
        let bytes = [0x21, 0x46, 0x01, 0x36, 0x01, 0x21, 0x47, 0x01, 0x36, 0x00, 0x7E, 0xFE, 0x09, 0xD2, 0x19, 0x01];
        assert_eq!(intel_hex(&bytes, 0x0100), ":10010000214601360121470136007EFE09D2190140\n:00000001FF\n");
        assert_eq!(intel_hex(&[0x00, 0x1F, 0xFF, 0x80], 0), ":04000000001FFF805E\n:00000001FF\n");
        assert!(intel_hex(&[0], 0x0800_0000).starts_with(":020000040800F2\n"));
    }

    #[test]
    fn a_line_never_crosses_the_wrap_of_the_low_address() {
        let text = intel_hex(&[7; 20], 0xFFF8);
        let lines: Vec<&str> = text.lines().collect();
        assert!(
            lines[0].starts_with(":08FFF800") && lines[1] == ":020000040001F9" && lines[2].starts_with(":0C000000")
        );
    }
}
