//! One line of the notation cut into words: bare, quoted, points, and `key=value`.

use geo::Coord;

/// The parts of one line after its first word.
#[derive(Debug, Default)]
pub struct Parts {
    pub points: Vec<Coord>,
    /// Quoted words, unescaped.
    pub strings: Vec<String>,
    /// Bare words without `=`.
    pub flags: Vec<String>,
    /// `key=value`, values still as written (quotes removed and unescaped).
    keys: Vec<(String, String)>,
}

/// Cuts a line; `None` for one that is blank or all comment.
pub fn cut(line: &str) -> Result<Option<(String, Parts)>, String> {
    let mut words = Vec::new();
    let mut rest = line.chars().peekable();
    while let Some(&c) = rest.peek() {
        if c.is_whitespace() {
            rest.next();
        } else if c == '#' {
            break;
        } else {
            words.push(word(&mut rest)?);
        }
    }
    let mut words = words.into_iter();
    let first = match words.next() {
        None => return Ok(None),
        Some(Word::Bare(w)) => w,
        Some(_) => return Err("a line opens with a plain word".into()),
    };
    let mut parts = Parts::default();
    let mut after_number = false;
    for w in words {
        let mut number = false;
        match w {
            Word::Quoted(s) => parts.strings.push(s),
            Word::Keyed(k, v) => {
                if parts.keys.iter().any(|(have, _)| *have == k) {
                    return Err(format!("`{k}` is given twice"));
                }
                number =
                    v.parse::<u64>().is_ok() || v.strip_prefix('-').is_some_and(|v| v.parse::<u64>().is_ok());
                parts.keys.push((k, v));
            }
            Word::Bare(w) if w.starts_with('(') => parts.points.push(point(&w)?),
            // `t=1 1/2`: the fraction belongs to the whole number before it.
            Word::Bare(w) if after_number && w.contains('/') => {
                if let Some((_, v)) = parts.keys.last_mut() {
                    v.push(' ');
                    v.push_str(&w);
                }
            }
            Word::Bare(w) => parts.flags.push(w),
        }
        after_number = number;
    }
    Ok(Some((first, parts)))
}

enum Word {
    Bare(String),
    Quoted(String),
    Keyed(String, String),
}

type Chars<'a> = std::iter::Peekable<std::str::Chars<'a>>;

fn word(rest: &mut Chars<'_>) -> Result<Word, String> {
    if rest.peek() == Some(&'"') {
        return quoted(rest).map(Word::Quoted);
    }
    let mut text = String::new();
    let mut depth = 0usize;
    while let Some(&c) = rest.peek() {
        match c {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            c if depth == 0 && (c.is_whitespace() || c == '#') => break,
            '=' if depth == 0 => {
                rest.next();
                if rest.peek() == Some(&'"') {
                    return quoted(rest).map(|v| Word::Keyed(text, v));
                }
                return match word(rest)? {
                    Word::Bare(v) => Ok(Word::Keyed(text, v)),
                    _ => Err(format!("`{text}` has two `=`")),
                };
            }
            _ => {}
        }
        if !(depth > 0 && c.is_whitespace()) {
            text.push(c);
        }
        rest.next();
    }
    if depth > 0 {
        return Err(format!("`{text}` is not closed"));
    }
    Ok(Word::Bare(text))
}

fn quoted(rest: &mut Chars<'_>) -> Result<String, String> {
    rest.next();
    let mut text = String::new();
    while let Some(c) = rest.next() {
        match c {
            '"' => return Ok(text),
            '\\' => match rest.next() {
                Some('n') => text.push('\n'),
                Some('r') => text.push('\r'),
                Some(c @ ('"' | '\\')) => text.push(c),
                _ => return Err("a `\\` stands before n, r, \" or \\ only".into()),
            },
            c => text.push(c),
        }
    }
    Err("a quoted word is not closed".into())
}

/// `(x,y)`, finite.
fn point(word: &str) -> Result<Coord, String> {
    let bad = || format!("`{word}` is not a point (x,y)");
    let inner = word
        .strip_prefix('(')
        .and_then(|w| w.strip_suffix(')'))
        .ok_or_else(bad)?;
    let (x, y) = inner.split_once(',').ok_or_else(bad)?;
    let at = Coord {
        x: number(x).map_err(|_| bad())?,
        y: number(y).map_err(|_| bad())?,
    };
    if at.x.is_finite() && at.y.is_finite() {
        Ok(at)
    } else {
        Err(bad())
    }
}

/// `24`, `0.375`, `3/8`, `1 1/2`, `-1 1/2`, `inf`.
pub fn number(text: &str) -> Result<f64, String> {
    let bad = || format!("`{text}` is not a number");
    let (sign, body) = match text.strip_prefix('-') {
        Some(body) => (-1.0, body),
        None => (1.0, text),
    };
    let (whole, fraction) = match body.split_once(' ') {
        Some((w, f)) => (w, Some(f)),
        None if body.contains('/') => ("0", Some(body)),
        None => (body, None),
    };
    let mut value: f64 = whole.parse().map_err(|_| bad())?;
    if let Some(f) = fraction {
        let (n, d) = f.split_once('/').ok_or_else(bad)?;
        let n: f64 = n.parse().map_err(|_| bad())?;
        let d: f64 = d.parse().map_err(|_| bad())?;
        value += n / d;
    }
    if value.is_nan() {
        Err(bad())
    } else {
        Ok(sign * value)
    }
}

impl Parts {
    /// Takes a key's value as written.
    pub fn text(&mut self, key: &str) -> Option<String> {
        let at = self.keys.iter().position(|(k, _)| k == key)?;
        Some(self.keys.remove(at).1)
    }

    pub fn number(&mut self, key: &str) -> Result<Option<f64>, String> {
        self.text(key)
            .map(|v| number(&v).map_err(|e| format!("{key}: {e}")))
            .transpose()
    }

    pub fn count(&mut self, key: &str) -> Result<Option<usize>, String> {
        self.text(key)
            .map(|v| v.parse().map_err(|_| format!("{key}: `{v}` is not a count")))
            .transpose()
    }

    /// Comma-separated numbers; an absent key is an empty list.
    pub fn numbers(&mut self, key: &str) -> Result<Vec<f64>, String> {
        let text = self.text(key).unwrap_or_default();
        split(&text)
            .map(|v| number(v).map_err(|e| format!("{key}: {e}")))
            .collect()
    }

    /// `(x,y),(x,y)`; an absent key is an empty list.
    pub fn points(&mut self, key: &str) -> Result<Vec<Coord>, String> {
        let text = self.text(key).unwrap_or_default();
        if text.is_empty() {
            return Ok(Vec::new());
        }
        text.split_inclusive(')')
            .map(|p| point(p.trim_start_matches(',')).map_err(|e| format!("{key}: {e}")))
            .collect()
    }

    /// One id such as `R2`, from 0.
    pub fn id(&mut self, key: &str, letter: char) -> Result<Option<usize>, String> {
        self.text(key).map(|v| id(&v, letter)).transpose()
    }

    /// `L1,L2`; an absent key is an empty list.
    pub fn ids(&mut self, key: &str, letter: char) -> Result<Vec<usize>, String> {
        let text = self.text(key).unwrap_or_default();
        split(&text).map(|v| id(v, letter)).collect()
    }

    pub fn flag(&mut self, name: &str) -> bool {
        let at = self.flags.iter().position(|f| f == name);
        at.inspect(|&i| {
            self.flags.remove(i);
        })
        .is_some()
    }

    /// The next bare word.
    pub fn bare(&mut self) -> Option<String> {
        (!self.flags.is_empty()).then(|| self.flags.remove(0))
    }

    pub fn string(&mut self) -> Option<String> {
        (!self.strings.is_empty()).then(|| self.strings.remove(0))
    }

    pub fn point(&mut self) -> Option<Coord> {
        (!self.points.is_empty()).then(|| self.points.remove(0))
    }

    /// An error where something was not taken: nothing written is passed over.
    pub fn finish(self) -> Result<(), String> {
        if let Some((k, _)) = self.keys.first() {
            return Err(format!("`{k}=` is not known here"));
        }
        if let Some(w) = self.flags.first() {
            return Err(format!("`{w}` is not known here"));
        }
        if let Some(s) = self.strings.first() {
            return Err(format!("\"{s}\" is one name too many"));
        }
        if !self.points.is_empty() {
            return Err("there are too many points".into());
        }
        Ok(())
    }
}

fn split(text: &str) -> impl Iterator<Item = &str> {
    text.split(',').filter(|v| !v.is_empty())
}

/// `L7` with letter `L` is 6.
pub fn id(text: &str, letter: char) -> Result<usize, String> {
    text.strip_prefix(letter)
        .and_then(|n| n.parse::<usize>().ok())
        .and_then(|n| n.checked_sub(1))
        .ok_or_else(|| format!("`{text}` is not an id such as {letter}1"))
}
