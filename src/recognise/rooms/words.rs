//! What rooms of a dwelling are called, in the languages plans are drawn in.
//!
//! English: trade words and usual abbreviations. The others: the usual words on plans (common practice,
//! from memory). All in the form that [`folded`] gives.

use super::lettering::plain;
use crate::rules::folded;

const ENGLISH: &str = "
    ROOM RM BEDROOM BED BEDRM BDRM BR MASTER SUITE ENSUITE BATH BATHROOM BA TOILET TOIL POWDER PWDR PDR WC LAV
    SHOWER ENTRY FOYER VESTIBULE LOBBY MUD MUDROOM KITCHEN KIT PANTRY DINING NOOK BREAKFAST LIVING
    FAMILY GREAT DEN STUDY OFFICE LIBRARY MEDIA BONUS LOFT LAUNDRY LDRY UTILITY UTIL CLOSET CLO CLOS WIC
    LINEN STORAGE STOR MECH GARAGE GAR PORCH DECK PATIO BALCONY LANAI VERANDA TERRACE MBR LAUND LDY NURSERY GYM THEATER
    THEATRE SUNROOM ROTUNDA CASITA GALLERY SNUG SAUNA SCULLERY CELLAR CONSERVATORY SOLARIUM
    LOUNGE LARDER CARPORT KITCHENETTE RESTROOM WASHROOM CONFERENCE RECEPTION CLOAKROOM LAUN LNDRY PTRY DINETTE BREEZEWAY JANITOR";

const SPANISH: &str = "
    SALA SALON ESTAR ESTANCIA COMEDOR COCINA DORMITORIO DORM ALCOBA HABITACION RECAMARA CUARTO BANO ASEO VESTIDOR
    ESTUDIO DESPACHO LAVANDERIA LAVADERO DESPENSA BODEGA TERRAZA BALCON COCHERA GARAJE ENTRADA VESTIBULO
    RECIBIDOR";

const FRENCH: &str = "
    SALON SEJOUR SALLE CUISINE CHAMBRE BAIN BAINS SDB SDE TOILETTES BUREAU CELLIER BUANDERIE DRESSING RANGEMENT
    PLACARD TERRASSE ENTREE";

const GERMAN: &str = "
    ZIMMER WOHNZIMMER WOHNEN ESSZIMMER ESSEN KUCHE KOCHEN SCHLAFZIMMER SCHLAFEN KINDERZIMMER KIND ELTERN
    GASTEZIMMER ARBEITSZIMMER ARBEITEN BURO BAD BADEZIMMER DUSCHE ANKLEIDE ABSTELLRAUM SPEISEKAMMER
    HAUSWIRTSCHAFTSRAUM HWR WASCHKUCHE BALKON TERRASSE";

const PORTUGUESE: &str = "
    SALA COZINHA QUARTO DORMITORIO ESCRITORIO BANHEIRO LAVABO LAVANDERIA DESPENSA VARANDA GARAGEM COPA
    ENTRADA CLOSET SERVICO";

/// Chinese, Japanese, Korean: written without spaces, so found anywhere in a name.
const UNSPACED: &str = "
    卧室 主卧 次卧 客厅 起居室 厨房 餐厅 卫生间 浴室 书房 阳台 玄关 储藏室 衣帽间 洗衣房 儿童房 车库
    居間 和室 洋室 寝室 台所 食堂 浴室 便所 洗面 玄関 書斎 納戸 押入 車庫 リビング キッチン ダイニング LDK
    거실 침실 안방 주방 부엌 식당 욕실 화장실 현관 서재 드레스룸 다용도실 세탁실 발코니";

const HALLS: &str = "
    HALL HALLWAY CORRIDOR PASILLO CORREDOR COULOIR DEGAGEMENT DEGT DGT FLUR DIELE GANG CIRCULACAO";

const UNSPACED_HALLS: &str = "走廊 过道 廊下 ホール 복도";

/// Words that stand in rooms with names of their own too: `STAIRS` beside a flight in a hall, `SITTING` in a bedroom.
const WEAK: &str = "
    SITTING RETREAT GATHERING FLEX SHOP WORKSHOP EXERCISE CRAFT CRAFTS HEARTH KEEPING SUN ZONE ELEV ELEVATOR LIN
    LANDING FURNACE STORE COPY WASH COATS COAT VEST SPA WINE BAR PLAYROOM CAVE
    STAIR STAIRS STAIRWELL STAIRWAY ESCALERA ESCALERAS ESCALIER TREPPE TREPPENHAUS ESCADA ESCADAS";
const UNSPACED_WEAK: &str = "楼梯 階段 계단";
/// Closets that are cabinets as often (trade words).
const CABINETS: [&str; 2] = ["LINEN", "LINENS"];
/// A bed of such a name is furniture, and no bedroom (trade words).
const BEDS: &str = "QUEEN KING TWIN FULL DOUBLE SINGLE BUNK DAY SOFA MURPHY TRUNDLE CRIB WATER HOSPITAL CAL FOLDING WALL QN KG";
const BED: [&str; 2] = ["BED", "BEDS"];
/// Closet, or a centreline.
const SMALL: &str = "CL";
/// Living, dining and family room, as a whole name: a dryer or a door stands in smaller ones.
const LARGE: [&str; 3] = ["LR", "DR", "FR"];

/// Whether a name has a word that may be a room's where nothing else in it is; `small`: where it may be a closet.
pub fn may_name_a_room(name: &str, small: bool) -> bool {
    let name = folded(name);
    let large = LARGE.contains(&name.replace('.', "").trim());
    has_word(&name, WEAK)
        || has_part(&name, UNSPACED_WEAK)
        || if small { has_word(&name, SMALL) } else { large }
}

/// Whether a name has a word for a room, a hall's included.
pub fn names_a_room(name: &str) -> bool {
    let lists = [ENGLISH, SPANISH, FRENCH, GERMAN, PORTUGUESE];
    let lines: Vec<_> = name.lines().map(plain).collect();
    let name = without_beds(&folded(&lines.join("\n")));
    // `W.I.C.` is one word.
    let dotless = name.replace('.', "");
    let any = |name: &str| lists.iter().any(|list| has_word(name, list));
    any(&name) || any(&dotless) || has_part(&name, UNSPACED) || is_hall(&name)
}

/// A name without the beds that it speaks of.
fn without_beds(folded: &str) -> String {
    let words: Vec<&str> = folded.split(|c: char| !c.is_alphanumeric()).collect();
    let is_bed = |i: usize| {
        let before = i.checked_sub(1).and_then(|i| words.get(i));
        BED.contains(&words[i]) && before.is_some_and(|w| has_word(w, BEDS))
    };
    match (0..words.len()).any(is_bed) {
        true => (0..words.len())
            .filter(|i| !is_bed(*i))
            .map(|i| words[i])
            .collect::<Vec<_>>()
            .join(" "),
        false => folded.to_string(),
    }
}

/// Whether a name is of what is a closet where it has walls, and a cabinet in another room where it has none.
pub fn may_be_a_cabinet(name: &str) -> bool {
    let name = folded(name);
    let mut words = name
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty());
    words.next().is_some_and(|w| CABINETS.contains(&w)) && words.next().is_none()
}

/// Whether a name has a word for a hall.
pub fn names_a_hall(name: &str) -> bool {
    is_hall(&folded(name))
}

fn is_hall(folded: &str) -> bool {
    // `2 GANG` is a box of switches.
    let gang = folded.contains("GANG") && folded.contains(|c: char| c.is_ascii_digit());
    !gang && has_word(folded, HALLS) || has_part(folded, UNSPACED_HALLS)
}

fn has_word(folded: &str, list: &str) -> bool {
    let mut words = folded.split(|c: char| !c.is_alphanumeric());
    words.any(|word| list.split_whitespace().any(|known| known == word))
}

fn has_part(folded: &str, list: &str) -> bool {
    list.split_whitespace().any(|known| folded.contains(known))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rooms_and_halls_in_many_languages() {
        for name in [
            "BEDROOM 2",
            "PDR",
            "ENSUITE",
            "M. BATH",
            "Salón",
            "Baño 1",
            "Recámara",
            "SÉJOUR",
            "Küche",
            "Kochen",
            "Büro",
            "Wohnzimmer",
            "Escritório",
            "Sala de jantar",
            "主卧室",
            "和室6畳",
            "リビング",
            "거실",
            "안방",
            "MBR",
            "2-CAR GAR",
            "LAUND",
            "LDY",
            "SUNROOM",
            "COVERED PATIO",
            "GALLERY",
            "LDK",
            "SDB",
            "DORM 2",
            "OWNER'S SUITE",
            "BED 2",
            "W.I.C.",
            "W.C.",
            "RESTROOM",
            "CARPORT",
            "세탁실",
            "MASTER BED",
            "KING BED SUITE",
        ] {
            assert!(names_a_room(name) && !names_a_hall(name), "{name}");
        }
        for name in [
            "HALL",
            "Pasillo",
            "DÉGAGEMENT",
            "Flur",
            "Circulação",
            "走廊",
            "廊下",
            "복도",
        ] {
            assert!(names_a_room(name) && names_a_hall(name), "{name}");
        }
        for name in [
            "SEE NOTE 4",
            "R6",
            "SHALLOW",
            "BATHE",
            "天井",
            "VERIFY IN FIELD",
            "2 GANG",
            "3-GANG BOX",
            "조명",
            "DROP ZONE",
            "SUNDAY",
            "LIN FT",
            "QUEEN BED",
            "KING",
            "TWIN BEDS",
            "SOFA BED",
        ] {
            assert!(!names_a_room(name), "{name}");
        }
        for name in [
            "DROP ZONE",
            "SITTING",
            "ELEV",
            "SHOP",
            "COATS",
            "FLEX",
            "WET BAR",
            "LR",
            "COPY",
        ] {
            assert!(may_name_a_room(name, false), "{name}");
        }
        assert!(!may_name_a_room("DR", true) && !may_name_a_room("DR 2", false));
    }

    #[test]
    fn every_word_is_in_the_form_it_is_compared_in() {
        let spaced = [
            ENGLISH, SPANISH, FRENCH, GERMAN, PORTUGUESE, HALLS, WEAK, SMALL, BEDS,
        ];
        for word in spaced
            .iter()
            .chain(&[UNSPACED, UNSPACED_HALLS, UNSPACED_WEAK])
            .flat_map(|l| l.split_whitespace())
        {
            assert_eq!(folded(word), word);
        }
    }
}
