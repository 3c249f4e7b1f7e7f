//! A small DXF writer under the tests' full control: R12 to R2018, ASCII or binary, LF or CRLF.

/// A group's value.
#[derive(Clone)]
pub enum Value {
    Text(String),
    Real(f64),
    Int(i16),
    Long(i32),
}

pub type Group = (i16, Value);

pub fn text(code: i16, value: &str) -> Group {
    (code, Value::Text(value.into()))
}

pub fn real(code: i16, value: f64) -> Group {
    (code, Value::Real(value))
}

pub fn int(code: i16, value: i16) -> Group {
    (code, Value::Int(value))
}

pub fn long(code: i16, value: usize) -> Group {
    (code, Value::Long(value as i32))
}

/// How a drawing is put into bytes.
#[derive(Clone, Copy, Debug)]
pub struct Dress {
    pub version: &'static str,
    pub binary: bool,
    pub crlf: bool,
    pub page: &'static str,
}

impl Dress {
    pub fn is_r12(&self) -> bool {
        self.version == "AC1009"
    }

    /// UTF-8 from R2007 on, before that the code page. Panics where the page lacks a letter.
    fn encode(&self, words: &str) -> Vec<u8> {
        let page = match self.page {
            _ if self.version >= "AC1021" => encoding_rs::UTF_8,
            "ANSI_1250" => encoding_rs::WINDOWS_1250,
            "ANSI_932" => encoding_rs::SHIFT_JIS,
            _ => encoding_rs::WINDOWS_1252,
        };
        let (bytes, _, lost) = page.encode(words);
        assert!(!lost, "{words} is not of page {}", self.page);
        bytes.into_owned()
    }
}

pub fn bytes(groups: &[Group], dress: Dress) -> Vec<u8> {
    let mut out = Vec::new();
    if dress.binary {
        out.extend(b"AutoCAD Binary DXF\r\n\x1a\0");
    }
    for (code, value) in groups {
        if dress.binary {
            match u8::try_from(*code).ok().filter(|&c| c < 255) {
                Some(short) if dress.is_r12() => out.push(short),
                _ if dress.is_r12() => {
                    out.push(255);
                    out.extend(code.to_le_bytes());
                }
                _ => out.extend(code.to_le_bytes()),
            }
            match value {
                Value::Text(t) => {
                    out.extend(dress.encode(t));
                    out.push(0);
                }
                Value::Real(r) => out.extend(r.to_le_bytes()),
                Value::Int(i) => out.extend(i.to_le_bytes()),
                Value::Long(i) => out.extend(i.to_le_bytes()),
            }
        } else {
            let value = match value {
                Value::Text(t) => dress.encode(t),
                Value::Real(r) => format!("{r:?}").into(),
                Value::Int(i) => i.to_string().into(),
                Value::Long(i) => i.to_string().into(),
            };
            let end = if dress.crlf { "\r\n" } else { "\n" };
            out.extend(format!("{code:>3}{end}").bytes());
            out.extend(value);
            out.extend(end.bytes());
        }
    }
    out
}
