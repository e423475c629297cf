//! A guard around the decoding of untrusted pictures: a decoder that panics on a damaged file gives an error, and prints nothing.

use std::cell::Cell;
use std::panic::{AssertUnwindSafe, catch_unwind, set_hook, take_hook};
use std::sync::Once;

thread_local! {
    /// Whether this thread is inside [`guarded`].
    static GUARDED: Cell<bool> = const { Cell::new(false) };
}

/// Runs a decoder. Its panic becomes an error; panics elsewhere are reported as before.
pub fn guarded<T>(decode: impl FnOnce() -> Result<T, String>) -> Result<T, String> {
    static QUIET: Once = Once::new();
    QUIET.call_once(|| {
        let before = take_hook();
        set_hook(Box::new(move |panic| {
            if !GUARDED.get() {
                before(panic);
            }
        }));
    });
    GUARDED.set(true);
    // The decoder works on bytes that it only reads; whatever it was building is dropped with it.
    let decoded = catch_unwind(AssertUnwindSafe(decode));
    GUARDED.set(false);
    decoded.unwrap_or_else(|_| Err("the file is damaged".into()))
}

#[cfg(test)]
mod tests {
    use super::guarded;

    #[test]
    fn a_panic_of_a_decoder_becomes_an_error() {
        let empty: &[u8] = &[];
        assert_eq!(guarded(|| Ok(empty[empty.len()])), Err("the file is damaged".into()));
        assert_eq!(guarded(|| Ok(3)), Ok(3));
    }
}
