//! `bayline.toml` as written: what serde reads, before defaults and judgement.

use serde::Deserialize;
use serde::de::{self, Deserializer, SeqAccess, Visitor};
use std::fmt;
use toml::Spanned;

use crate::length;

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct File {
    pub units: Option<Unit>,
    #[serde(default)]
    pub read: Read,
    #[serde(default)]
    pub framing: Framing,
    #[serde(default)]
    pub luminaire: Vec<Spanned<Luminaire>>,
    #[serde(default)]
    pub tolerance: Tolerance,
    #[serde(default)]
    pub spacing: Spacing,
    #[serde(default)]
    pub walls: Walls,
    #[serde(default)]
    pub room: Vec<Spanned<Room>>,
    #[serde(default)]
    pub keep: Keep,
}

#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Unit {
    Auto,
    In,
    Ft,
    Mm,
    Cm,
    M,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Read {
    #[serde(default, deserialize_with = "class")]
    pub lights: Option<Class>,
    #[serde(default, deserialize_with = "class")]
    pub framing: Option<Class>,
    #[serde(default, deserialize_with = "class")]
    pub walls: Option<Class>,
    #[serde(default, deserialize_with = "class")]
    pub rooms: Option<Class>,
    #[serde(default, deserialize_with = "class")]
    pub devices: Option<Class>,
    #[serde(default, deserialize_with = "class")]
    pub ignore: Option<Class>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Class {
    pub layers: Option<Vec<Spanned<String>>>,
    pub blocks: Option<Vec<Spanned<String>>>,
    #[serde(default)]
    pub more_layers: Vec<Spanned<String>>,
    #[serde(default)]
    pub more_blocks: Vec<Spanned<String>>,
}

/// A table; a bare list would not say whether it is of layers or of blocks.
fn class<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Class>, D::Error> {
    struct Table;
    impl<'de> Visitor<'de> for Table {
        type Value = Option<Class>;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("a table of layers and blocks: { layers = [\"E-LITE*\"], blocks = [\"LT-*\"] }")
        }

        fn visit_map<A: de::MapAccess<'de>>(self, map: A) -> Result<Self::Value, A::Error> {
            Class::deserialize(de::value::MapAccessDeserializer::new(map)).map(Some)
        }
    }
    from.deserialize_map(Table)
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Framing {
    pub thickness: Option<Spanned<Length>>,
    pub spacing: Option<Spanned<Length>>,
    pub direction: Option<Spanned<f64>>,
    pub phase: Option<Spanned<Phase>>,
    #[serde(default)]
    pub measured: Vec<Spanned<[f64; 2]>>,
    pub place: Option<Place>,
    pub from_block: Option<Spanned<String>>,
    pub turn: Option<Spanned<f64>>,
    pub mirrored: Option<bool>,
}

#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Place {
    Walls,
    Origin,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Luminaire {
    pub tag: Spanned<String>,
    #[serde(default)]
    pub blocks: Vec<Spanned<String>>,
    pub aperture: Spanned<Length>,
    pub opening: Option<Spanned<Length>>,
    pub body: Option<Spanned<Length>>,
    pub short_side: Option<Spanned<Length>>,
    pub box_side: Option<Spanned<Length>>,
    pub half_width: Option<Spanned<Length>>,
    pub bars: Option<Spanned<Bars>>,
    pub ic: Option<bool>,
    pub mount: Option<Mount>,
    pub clip: Option<Spanned<Length>>,
    pub lumens: Option<Spanned<f64>>,
    pub beam: Option<Spanned<f64>>,
    pub photometry: Option<Spanned<String>>,
}

#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Mount {
    NewWork,
    OldWork,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bars {
    pub least: Option<Spanned<Length>>,
    pub greatest: Option<Spanned<Length>>,
    pub trimmed: Option<Spanned<Length>>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tolerance {
    pub across: Option<Spanned<Length>>,
    pub along: Option<Spanned<Length>>,
    pub capture: Option<Spanned<Length>>,
    pub tab_gain: Option<Spanned<Length>>,
    pub combustible: Option<Spanned<Length>>,
    pub stacked: Option<Spanned<Length>>,
    pub gap_ratio: Option<Spanned<f64>>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spacing {
    pub feet_per_inch: Option<Spanned<f64>>,
    pub criterion: Option<Spanned<f64>>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Walls {
    pub least: Option<Spanned<Length>>,
    pub slack: Option<Spanned<Length>>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Keep {
    #[serde(default)]
    pub lights: Vec<Spanned<String>>,
    #[serde(default)]
    pub rows: Vec<Spanned<String>>,
    #[serde(default)]
    pub rooms: Vec<Spanned<String>>,
    #[serde(default)]
    pub line: Vec<Spanned<KeepLine>>,
    #[serde(default)]
    pub through: Vec<Spanned<Vec<Spanned<String>>>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeepLine {
    pub name: Option<String>,
    pub from: [f64; 2],
    pub to: Option<[f64; 2]>,
    pub direction: Option<f64>,
    pub within: Option<Spanned<Length>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Room {
    pub name: Spanned<String>,
    pub ceiling: Option<Spanned<Length>>,
    pub insulated: Option<bool>,
    pub hall: Option<bool>,
}

/// Inches, written as a number or as text.
#[derive(Clone, Copy, Debug)]
pub struct Length(pub f64);

impl<'de> Deserialize<'de> for Length {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct V;
        impl Visitor<'_> for V {
            type Value = Length;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a length: a number of inches, or text such as \"3 1/2\" or \"90mm\"")
            }
            fn visit_i64<E: de::Error>(self, v: i64) -> Result<Length, E> {
                Ok(Length(v as f64))
            }
            fn visit_f64<E: de::Error>(self, v: f64) -> Result<Length, E> {
                Ok(Length(v))
            }
            fn visit_str<E: de::Error>(self, v: &str) -> Result<Length, E> {
                length::parse(v).map(Length).map_err(E::custom)
            }
        }
        d.deserialize_any(V)
    }
}

/// A point on a member's centreline in drawing units, or not known.
#[derive(Clone, Copy, Debug)]
pub enum Phase {
    Unknown,
    Point([f64; 2]),
}

impl<'de> Deserialize<'de> for Phase {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct V;
        impl<'de> Visitor<'de> for V {
            type Value = Phase;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("\"unknown\" or a point [x, y] in drawing units")
            }
            fn visit_str<E: de::Error>(self, v: &str) -> Result<Phase, E> {
                match v {
                    "unknown" => Ok(Phase::Unknown),
                    _ => Err(E::invalid_value(de::Unexpected::Str(v), &self)),
                }
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Phase, A::Error> {
                let mut point = [0.0; 2];
                for (i, p) in point.iter_mut().enumerate() {
                    *p = seq
                        .next_element()?
                        .ok_or_else(|| de::Error::invalid_length(i, &self))?;
                }
                match seq.next_element::<f64>()? {
                    None => Ok(Phase::Point(point)),
                    Some(_) => Err(de::Error::invalid_length(3, &self)),
                }
            }
        }
        d.deserialize_any(V)
    }
}
