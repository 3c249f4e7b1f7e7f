//! A panic in one plan is that plan's error: caught, and told with its place in the code.

use std::cell::RefCell;
use std::panic::{AssertUnwindSafe, catch_unwind, set_hook};
use std::sync::Once;

thread_local! {
    static LAST: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// From now on a panic is remembered by its thread in place of being printed; [`caught`] tells it.
pub fn remember() {
    static HOOK: Once = Once::new();
    HOOK.call_once(|| {
        set_hook(Box::new(|info| {
            let place = info
                .location()
                .map_or_else(String::new, |l| format!("{}:{}: ", l.file(), l.line()));
            let payload = info.payload();
            let literal = payload.downcast_ref::<&str>().copied();
            let what = literal
                .or_else(|| payload.downcast_ref::<String>().map(String::as_str))
                .unwrap_or("panic");
            let text = format!("{place}{}", what.replace('\n', " "));
            LAST.with_borrow_mut(|last| *last = Some(text));
        }));
    });
}

/// Runs one plan's work; the error says what panicked, and where.
pub fn caught<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    LAST.with_borrow_mut(|last| *last = None);
    // Nothing of a plan outlives its work, so nothing half-changed is seen afterwards.
    catch_unwind(AssertUnwindSafe(work)).map_err(|_| {
        LAST.with_borrow_mut(Option::take)
            .unwrap_or_else(|| "panic".to_string())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_is_told_with_its_place() {
        remember();
        let told = caught(|| panic!("one {}", "plan")).unwrap_err();
        assert!(told.contains("panics.rs") && told.ends_with("one plan"), "{told}");
        assert_eq!(caught(|| 3), Ok(3));
    }
}
