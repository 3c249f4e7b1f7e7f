//! Which of several framing plans is over which of several plans of lights, by walls first and by titles then.

use geo::Coord;

use crate::geom::canonical;
use crate::length::feet_inches;
use crate::note::{Level, Note};
use crate::plan::{Member, MemberSource};
use crate::recognise::callouts::Written;
use crate::recognise::register::{self, Hint, Refusal, Registration, Similarity};
use crate::recognise::shape::{bounds, distance};
use crate::recognise::titles;

/// Plans that are held against each other, each with each; more are a set of drawings, not a house.
const MOST: usize = 100;
/// Another plan whose matched walls are this share of the best one's is as good.
const AS_GOOD: f64 = 0.9;
/// Lights of two plans are the same lights within this, inches, as drawn twice by one hand.
const SAME_PLACE: f64 = 3.0;
/// And so are all of them where this share is.
const MOST_OF: f64 = 0.8;
/// Matched share of the walls of the plan of which more is matched, for it to be beyond doubt.
const AGREED: f64 = 0.85;

type Wall = (Coord, Coord);

/// A plan that holds framing.
#[derive(Clone, Debug)]
pub struct Source<'a> {
    /// What notes call it.
    pub name: String,
    pub title: Option<&'a str>,
    pub walls: &'a [Wall],
    pub members: Vec<Member>,
    pub written: Vec<Written>,
}

/// A plan that holds lights.
#[derive(Clone, Debug)]
pub struct Target<'a> {
    pub name: String,
    pub title: Option<&'a str>,
    pub walls: &'a [Wall],
    pub lights: Vec<Coord>,
}

/// Which framing is over a plan of lights.
#[derive(Clone, Debug)]
pub enum Chosen {
    One(usize, Registration),
    /// All of these fit, and nothing tells them apart.
    Several(Vec<usize>),
    /// This one, but it fits those other targets as well, which are not the same lights.
    Shared(usize, Vec<usize>),
    /// None, for these reasons; of sources, in order.
    None(Vec<(usize, Refusal)>),
    /// There are too many to be held against each other.
    TooMany,
}

/// What a source has for a target, in the target's place.
#[derive(Clone, Debug)]
pub struct Laid {
    pub members: Vec<Member>,
    pub written: Vec<Written>,
}

/// For every target, in order. Hints are tried one after another.
pub fn chosen(targets: &[Target], sources: &[Source], hints: &[Hint]) -> Vec<Chosen> {
    if targets.len().saturating_mul(sources.len()) > MOST {
        return targets.iter().map(|_| Chosen::TooMany).collect();
    }
    let first: Vec<Chosen> = targets.iter().map(|t| of_one(t, sources, hints)).collect();
    let others = |i: usize, s: usize, r: &Registration| -> Vec<usize> {
        let takes = |j: usize| match &first[j] {
            Chosen::One(also, other) if *also == s => !same_lights(&targets[i], r, &targets[j], other),
            _ => false,
        };
        let mut others: Vec<usize> = (0..targets.len()).filter(|&j| j != i && takes(j)).collect();
        // A storey that the framing's title names is that of its lights.
        if named_alike(targets[i].title, sources[s].title) {
            others.retain(|&j| named_alike(targets[j].title, sources[s].title));
        }
        others
    };
    (first.iter().enumerate())
        .map(|(i, choice)| match choice {
            Chosen::One(s, registration) => match others(i, *s, registration) {
                of if of.is_empty() => choice.clone(),
                of => Chosen::Shared(*s, of),
            },
            other => other.clone(),
        })
        .collect()
}

fn of_one(target: &Target, sources: &[Source], hints: &[Hint]) -> Chosen {
    let (mut fits, mut refused) = (Vec::new(), Vec::new());
    for (s, source) in sources.iter().enumerate() {
        match placed_by(target.walls, source.walls, hints) {
            Ok(r) => fits.push((s, r)),
            Err(why) => refused.push((s, why)),
        }
    }
    let most = fits.iter().map(|f| f.1.length).fold(0.0, f64::max);
    fits.retain(|f| f.1.length >= AS_GOOD * most);
    let title = |s: usize| sources[s].title;
    let by_title: [&dyn Fn(usize) -> bool; 3] = [
        &|s| named_alike(target.title, title(s)),
        &|s| title(s).is_some_and(titles::of_ceiling),
        &|s| !title(s).is_some_and(titles::of_roof_or_footing),
    ];
    for tells in by_title {
        if fits.iter().any(|f| tells(f.0)) {
            fits.retain(|f| tells(f.0));
        }
    }
    if fits.len() > 1 {
        return Chosen::Several(fits.into_iter().map(|f| f.0).collect());
    }
    match fits.pop() {
        Some((s, r)) => Chosen::One(s, r),
        None => Chosen::None(refused),
    }
}

fn placed_by(ours: &[Wall], theirs: &[Wall], hints: &[Hint]) -> Result<Registration, Refusal> {
    let mut last = Err(Refusal::NoWalls { plan: true });
    for hint in hints {
        last = register::register(ours, theirs, hint);
        if !matches!(last, Err(Refusal::Unlike { .. })) {
            break;
        }
    }
    last
}

/// Whether both titles name one storey or unit.
fn named_alike(a: Option<&str>, b: Option<&str>) -> bool {
    let (Some(a), Some(b)) = (a, b) else {
        return false;
    };
    let b = titles::which(b);
    titles::which(a).iter().any(|w| b.contains(w))
}

/// Whether two targets show the same lights in the same places under one source.
fn same_lights(a: &Target, of_a: &Registration, b: &Target, of_b: &Registration) -> bool {
    let moved: Vec<Coord> = (a.lights.iter())
        .map(|p| of_b.matrix.apply(of_a.matrix.back(*p)))
        .collect();
    let same = |p: &&Coord| b.lights.iter().any(|q| distance(**p, *q) <= SAME_PLACE);
    let found = moved.iter().filter(same).count() as f64;
    found >= MOST_OF * a.lights.len().max(b.lights.len()) as f64
}

/// A source's framing in the target's place.
pub fn lay(source: &Source, registration: &Registration) -> Laid {
    let t = &registration.matrix;
    Laid {
        members: source.members.iter().filter_map(|m| moved(m, t)).collect(),
        written: (source.written.iter()).map(|w| w.moved(|p| t.apply(p))).collect(),
    }
}

fn moved(m: &Member, t: &Similarity) -> Option<Member> {
    let (from, to) = (t.apply(m.from), t.apply(m.to));
    let along = to - from;
    let ahead = canonical(along) == along;
    let (from, to) = if ahead { (from, to) } else { (to, from) };
    let thickness = m.thickness * t.scale();
    let whole = crate::geom::unit(along).is_some() && thickness.is_finite() && thickness > 0.0;
    whole.then_some(Member {
        from,
        to,
        thickness,
        source: MemberSource::Second,
        ..m.clone()
    })
}

/// Says what was chosen for a target.
pub fn told(target: &Target, choice: &Chosen, sources: &[Source], targets: &[Target], notes: &mut Vec<Note>) {
    match choice {
        Chosen::One(s, registration) => {
            notes.push(placed(target, &sources[*s], registration));
            notes.extend(register::take_over::differs(registration, &sources[*s].name));
        }
        Chosen::Several(several) => notes.push(asked(target, several, sources)),
        Chosen::Shared(s, others) => notes.push(shared(target, &sources[*s], others, targets)),
        Chosen::None(refused) => {
            notes.extend(refused.iter().map(|(s, why)| not_placed(target, &sources[*s], why)));
        }
        Chosen::TooMany => notes.push(Note::warning(
            "framing-beside",
            format!(
                "there are {} plans of framing for {} of lights, more than are held against each other: none is laid over {}",
                sources.len(),
                targets.len(),
                target.name
            ),
        )),
    }
}

/// Says how a source was laid over a target.
fn placed(target: &Target, source: &Source, r: &Registration) -> Note {
    let middle = bounds(source.walls.iter().flat_map(|w| [w.0, w.1])).map(|(low, high)| (low + high) * 0.5);
    let shift = middle.map_or(r.matrix.shift, |p| r.matrix.apply(p) - p);
    let turned =
        r.matrix.turn_degrees().abs() > 0.5 || r.matrix.mirrored || (r.matrix.scale() - 1.0).abs() > 1e-9;
    let agrees = r.of_plan.max(r.of_second) >= AGREED && r.worst <= register::WORST;
    let ceiling = source.title.is_some_and(titles::of_ceiling);
    let level = if turned || !agrees || !ceiling {
        Level::Warning
    } else {
        Level::Info
    };
    let check = if ceiling {
        ""
    } else {
        "; see that it is the framing at this ceiling, and not of another floor"
    };
    let said = r.between("the lighting plan's", "the framing plan's");
    Note::new(
        level,
        "framing-placed",
        format!(
            "the framing drawn in {} holds for {}: {said}; its middle is moved {}{check}",
            source.name,
            target.name,
            way(shift)
        ),
    )
}

/// `43'-4" to the left, 2'-0" up`.
fn way(shift: Coord) -> String {
    let side = |d: f64, plus: &str, minus: &str| {
        let to = if d > 0.0 { plus } else { minus };
        (d.abs() >= 1.0 / 64.0).then(|| format!("{} {to}", feet_inches(d.abs())))
    };
    let all = [
        side(shift.x, "to the right", "to the left"),
        side(shift.y, "up", "down"),
    ];
    let all: Vec<String> = all.into_iter().flatten().collect();
    if all.is_empty() {
        "nowhere".to_string()
    } else {
        all.join(", ")
    }
}

/// Asks which framing is meant.
fn asked(target: &Target, several: &[usize], sources: &[Source]) -> Note {
    let names: Vec<&str> = several.iter().map(|&s| sources[s].name.as_str()).collect();
    Note::warning(
        "framing-beside",
        format!(
            "the walls of {} are those of {} alike: which framing is at its ceiling? None is taken; put CEILING and the \
             storey into the title of that one (as FIRST FLOOR CEILING FRAMING PLAN), or give it alone with --framing",
            target.name,
            names.join(" and of ")
        ),
    )
}

/// Asks under which of several plans of lights the framing is.
fn shared(target: &Target, source: &Source, others: &[usize], targets: &[Target]) -> Note {
    let names: Vec<&str> = others.iter().map(|&t| targets[t].name.as_str()).collect();
    Note::warning(
        "framing-beside",
        format!(
            "the framing drawn in {} fits the walls of {} and of {} alike, whose lights are not the same: it is not taken \
             for {}; name the storey in the titles of both (as FIRST FLOOR CEILING FRAMING PLAN)",
            source.name,
            target.name,
            names.join(" and of "),
            target.name
        ),
    )
}

/// Says why a source could not be laid over a target.
fn not_placed(target: &Target, source: &Source, why: &Refusal) -> Note {
    const BY_HAND: &str =
        "else draw the members over the lights, or give that plan as a drawing of its own with --framing";
    let percent = |share: f64| format!("{:.0} %", (share * 100.0).clamp(0.0, 100.0));
    let why = match why {
        Refusal::NoWalls { plan } => {
            let of = if *plan { &target.name } else { &source.name };
            format!("{of} shows no walls in two directions to place it by: draw the walls in both")
        }
        Refusal::Unlike { of_plan, of_second } => format!(
            "their walls are not the same (laid as well as can be {} of the one and {} of the other agree): if it is the \
             framing of another ceiling nothing is missing, {BY_HAND}",
            percent(*of_plan),
            percent(*of_second)
        ),
        Refusal::Off { worst, length, .. } => format!(
            "their walls agree, but one, over {}, is {} off: see which plan is right",
            feet_inches(*length),
            feet_inches(*worst)
        ),
        Refusal::Ambiguous { .. } => format!(
            "their walls agree in more than one way: give turn and mirrored under [framing] in bayline.toml, {BY_HAND}"
        ),
    };
    Note::warning(
        "framing-beside",
        format!(
            "framing is drawn in {}, and none over the lights of {}: it is not laid over them, since {why}",
            source.name, target.name
        ),
    )
}
