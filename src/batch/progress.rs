//! The progress bar: on standard error, and only where that is a terminal.

use std::io::IsTerminal;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

pub fn bar(plans: usize, wanted: bool) -> ProgressBar {
    if !wanted || plans < 2 || !std::io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::with_draw_target(Some(plans as u64), ProgressDrawTarget::stderr());
    if let Ok(style) = ProgressStyle::with_template("{pos}/{len} plans {wide_bar} {eta}") {
        bar.set_style(style);
    }
    bar
}
