//! Every tolerance of recognition in one place. Inches unless the name says otherwise.
//!
//! Where no source is named a value is common practice: chosen so that a plan drawn with
//! ordinary care, or saved with four decimals, reads the same as an exact one.

/// Two lines are parallel where their directions differ by no more than this (degrees).
pub const PARALLEL_DEGREES: f64 = 0.05;
/// A family of parallels is never wider than this (degrees).
pub const FAMILY_DEGREES: f64 = 0.25;
/// Points nearer than this are one corner.
pub const CORNER: f64 = 0.02;
/// Faces whose offsets differ by less than this lie on one line.
pub const COLLINEAR: f64 = 0.04;
/// A line this far outside a member's outline still belongs to it (end caps, centrelines).
pub const INSIDE: f64 = 0.15;
/// Least and greatest distance between the two faces of a member. From 3/4 boards to 7 in
/// engineered beams; the narrowest usual bay (12 in on centre) is clear by 10 1/2.
pub const THINNEST: f64 = 0.74;
pub const THICKEST: f64 = 7.05;
/// Thickest member taken from a closed outline, where the drawing itself joins the faces.
pub const THICKEST_OUTLINE: f64 = 12.0;
/// Thinnest ply of a built-up member (dry lumber is 1 1/2, PS 20).
pub const THINNEST_PLY: f64 = 1.25;
/// Two thicknesses are the same.
pub const SAME_THICKNESS: f64 = 0.08;
/// Members whose faces are this near touch.
pub const TOUCH: f64 = 0.13;
/// A member broken at a wall: the pieces are this near (a 2×6 wall with board on both sides is 6 1/2).
pub const BREAK: f64 = 8.0;
/// Pieces both shorter than this are blocks in neighbouring bays, not one broken member.
pub const BLOCK_LENGTH: f64 = 30.0;
/// A line shorter than this is no face of a member.
pub const SHORTEST_FACE: f64 = 4.0;
/// A dash of a broken line is no longer than this (1/4 in at 1:48).
pub const LONGEST_DASH: f64 = 12.5;
/// A single line shorter than this is no centreline.
pub const SHORTEST_SINGLE: f64 = 12.0;

/// A symbol larger than this holds several lights, or is something else.
pub const LARGEST_SYMBOL: f64 = 60.0;
/// Bare circles outside this range of radii are no lights.
pub const SMALLEST_LIGHT_RADIUS: f64 = 0.75;
pub const LARGEST_LIGHT_RADIUS: f64 = 18.0;
/// Across: recessed lights as drawn on house plans, one for each opening.
pub const APERTURE: std::ops::RangeInclusive<f64> = 2.9..=14.1;
/// A bare ellipse is a circle seen under unequal scale down to this ratio of its axes.
pub const ROUND_RATIO: f64 = 0.8;
/// Radii this near (as a share) are the same circle drawn twice.
pub const SAME_RADIUS: f64 = 0.02;

/// Least area of a device, square inches: a sprinkler's plate is 2 in across.
pub const SMALLEST_DEVICE: f64 = 1.0;
/// What is wider than this both ways is no device: the largest ceiling fans of houses are 8 ft across, and what is
/// longer (ducts, linear diffusers, chases) is narrow.
pub const LARGEST_DEVICE: f64 = 120.0;

/// A path whose ends are this near is closed.
pub const CLOSE_GAP: f64 = 1.0;
/// A room at least this many times as long as wide is a hall (the design's words).
pub const HALL_RATIO: f64 = 3.0;
/// Smallest area of a room, square inches (2 ft by 2 ft).
pub const SMALLEST_ROOM: f64 = 576.0;

/// How far from a light members still tell the direction of its framing.
pub const FRAMING_REACH: f64 = 48.0;
/// Members whose directions differ by no more than this are one family for a bay (degrees).
pub const BAY_FAMILY_DEGREES: f64 = 2.0;

/// A bar reaches what is further than its length by no more than this: rounding only.
pub const BAR_SLACK: f64 = 1e-6;

/// Greatest distance between a chord and its arc.
pub const SAGITTA: f64 = 0.05;
