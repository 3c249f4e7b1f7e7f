//! A text notation of a plan: tests write plans in it, goldens are dumped in it; it round-trips.
//!
//! One thing a line; a word first that says what, then its parts in any order. `#` opens a
//! comment. Points are `(x,y)`, lengths plain inches (`1 1/2`, `0.375`, `inf`), names are quoted
//! where they hold anything but letters, digits, `-`, `_`, `.`, `*`, `$`. Ids count from 1 as
//! they do in reports.
//!
//! ```text
//! units mm 0.03937007874015748 "header"        # left out: inches
//! axis (1,0)                                   # of the walls, for lights in no room
//! room "HALL" hall class=hall insulated ceiling=96 axis=(1,0) (0,0) (195,0) (195,40) (0,40)
//! opening door (80,42) (112,42) right=R1       # left and right of from → to; left out: no room
//! member joist (0,0) (0,120) t=1 1/2 plies=2 source=centreline handle=2F
//! callout joist "2x10 @ 16 O.C." (90,20) t=1 1/2 spacing=16 along=(0,1) depth=9.25 room=R1
//! wall (0,0) (120,0)
//! device "DIFF" (30,30) (54,30) (54,54) (30,54)
//! light (24,20) tag=R6 block="LT-R6" handle=30 offset=512 r=3 schedule=0 stacked=(24.5,20)
//! path closed (0,0) (1,0) (1,1)
//! text "HALL" (97,20) height=6 angle=0 centred
//! unclaimed "A-FURN" "LINE" 12
//! counts entities=40 claimed=28 unclaimed=12 dropped=0
//! ```
//!
//! What [`crate::recognise::relate`] derives may be left out, and is written by [`dump`]:
//! `room=R1 rows=W1,W2` on a light, and
//!
//! ```text
//! bay L1 along=(0,1) left=7.25,M1 left-wall=20 right=inf right-wall=31
//! row lights=L1,L2,L3 room=R1 (24,20) (120,20) offsets=0,3/8,0 stations=0,48,96 pitch=48 along=0,0,0 straightness=0
//! ```
//!
//! `schedule` is the place in [`crate::rules::Rules::luminaires`], from 0. A room's `axis`, where
//! left out, is the direction of its longest wall.

mod read;
mod words;
mod write;

#[cfg(test)]
mod tests;

pub use read::parse;
pub use write::dump;
