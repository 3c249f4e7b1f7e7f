//! Only what `geo` lacks: minimum-zone line, consensus line, intervals.
