//! The upper halves of two DOS code pages, which the Encoding Standard leaves out.
//!
//! Source: the Unicode consortium's mapping tables CP437.TXT and CP850.TXT, from memory.

pub(crate) const CP437: &str = "\
ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜ¢£¥₧ƒáíóúñÑªº¿⌐¬½¼¡«»░▒▓│┤╡╢╖╕╣║╗╝╜╛┐└┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀\
αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u{a0}";

pub(crate) const CP850: &str = "\
ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜø£Ø×ƒáíóúñÑªº¿®¬½¼¡«»░▒▓│┤ÁÂÀ©╣║╗╝¢¥┐└┴┬├─┼ãÃ╚╔╩╦╠═╬¤ðÐÊËÈıÍÎÏ┘┌█▄¦Ì▀\
ÓßÔÒõÕµþÞÚÛÙýÝ¯´\u{ad}±‗¾¶§÷¸°¨·¹³²■\u{a0}";

/// One byte to its character.
pub(crate) fn decode(upper: &'static str, byte: u8) -> char {
    match byte.checked_sub(0x80) {
        None => char::from(byte),
        Some(n) => upper
            .chars()
            .nth(usize::from(n))
            .unwrap_or(char::REPLACEMENT_CHARACTER),
    }
}
