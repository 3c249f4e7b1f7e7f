//! What a room is for, by its name.
//!
//! The words are trade words and the usual ones on plans in the languages of [`super::words`] (common practice,
//! from memory), in the form that [`folded`] gives. Of several in one name the first class of the table holds:
//! a `HALL BATH` is a bath, a `MASTER CLOSET` a closet, a `SALA DE JANTAR` a dining room.

use RoomClass::{
    Bath, Bedroom, Closet, Dining, Entry, Garage, Hall, Kitchen, Living, Office, Pantry, Porch, Stair,
    Storage, Utility,
};

use crate::plan::RoomClass;
use crate::rules::folded;

/// Class, words that stand alone, and parts of names that are written without spaces.
const TABLE: [(RoomClass, &str, &str); 15] = [
    (
        Closet,
        "CLOSET CLOSETS CLOAKROOM CLO CLOS CLST CL WIC WICL WIR BIR LINEN LIN COATS WARDROBE VESTIDOR ARMARIO ROPERO DRESSING \
         PLACARD PENDERIE ANKLEIDE SCHRANKRAUM ROUPEIRO",
        "衣帽间 押入 クローゼット 드레스룸 붙박이장",
    ),
    (
        Pantry,
        "PANTRY PANTRIES PTRY LARDER DESPENSA SPEISEKAMMER SPEIS",
        "食品庫 食品间 パントリー 팬트리",
    ),
    (
        Bath,
        "BATH BATHROOM BATHRM BTH BA RESTROOM WASHROOM TOILET TOIL POWDER PWDR PWD PDR WC LAV LAVATORY SHOWER ENSUITE BANO BANOS ASEO \
         BAIN BAINS SDB SDE DOUCHE TOILETTES BAD BADEZIMMER DUSCHE DUSCHBAD GASTEBAD ELTERNBAD BANHEIRO LAVABO \
         BANHO",
        "卫生间 浴室 洗手间 厕所 便所 洗面 トイレ 욕실 화장실",
    ),
    (
        Utility,
        "LAUNDRY LDRY LAUND LAUN LNDRY LDY WASH JANITOR UTILITY UTIL MECH MECHANICAL FURNACE BOILER LAVANDERIA LAVADERO SERVICO BUANDERIE \
         HAUSWIRTSCHAFTSRAUM HWR WASCHKUCHE HEIZUNG HEIZRAUM TECHNIK TECHNIKRAUM",
        "洗衣房 洗濯室 다용도실 세탁실",
    ),
    (
        Stair,
        "STAIR STAIRS STAIRWELL STAIRWAY STAIRCASE ESCALERA ESCALERAS ESCALIER TREPPE TREPPENHAUS ESCADA \
         ESCADAS",
        "楼梯 階段 계단",
    ),
    (
        Garage,
        "GARAGE GAR CARPORT COCHERA GARAJE GARAGEM",
        "车库 車庫 ガレージ 차고",
    ),
    (
        Porch,
        "PORCH BREEZEWAY DECK PATIO BALCONY VERANDA VERANDAH LANAI TERRACE LOGGIA TERRAZA BALCON TERRASSE BALKON \
         VARANDA",
        "阳台 露台 ベランダ バルコニー ポーチ テラス 발코니 베란다 테라스",
    ),
    (
        Kitchen,
        "KITCHEN KIT KITCHENETTE COCINA CUISINE KUCHE KOCHEN COZINHA",
        "厨房 台所 キッチン 주방 부엌",
    ),
    (
        Dining,
        "DINING DIN DR BAR DINETTE NOOK BREAKFAST BKFST COMEDOR MANGER ESSZIMMER ESSEN JANTAR COPA",
        "餐厅 食堂 ダイニング 식당",
    ),
    (
        Entry,
        "ENTRY RECEPTION FOYER VESTIBULE VEST LOBBY MUD MUDROOM ENTRADA VESTIBULO RECIBIDOR ENTREE WINDFANG EINGANG",
        "玄关 玄関 현관",
    ),
    (
        Office,
        "OFFICE CONFERENCE COPY STUDY LIBRARY ESTUDIO DESPACHO OFICINA BUREAU ARBEITSZIMMER ARBEITEN BURO ESCRITORIO",
        "书房 書斎 서재",
    ),
    (
        Bedroom,
        "BEDROOM BEDROOMS BED BEDRM BDRM BR MBR MASTER PRIMARY OWNER OWNERS GUEST NURSERY DORMITORIO DORM ALCOBA HABITACION RECAMARA \
         CHAMBRE SCHLAFZIMMER SCHLAFEN KINDERZIMMER KIND ELTERN GASTEZIMMER QUARTO",
        "卧室 主卧 次卧 儿童房 寝室 침실 안방",
    ),
    (
        Living,
        "LIVING LIV LR FR GAME REC FAMILY FAM GREAT DEN MEDIA LOUNGE LOFT BONUS SITTING GATHERING THEATER THEATRE SUNROOM SUN SNUG FLEX \
         ESTAR ESTANCIA SALA SALON SEJOUR WOHNZIMMER WOHNEN",
        "客厅 起居室 居間 リビング LDK 거실",
    ),
    (
        Storage,
        "STORAGE STORE STOR BODEGA TRASTERO RANGEMENT CELLIER ABSTELLRAUM ABSTELLKAMMER",
        "储藏室 納戸 物入 창고",
    ),
    (
        Hall,
        "HALL HALLWAY CORRIDOR LANDING PASILLO CORREDOR COULOIR DEGAGEMENT DEGT DGT FLUR DIELE GANG CIRCULACAO",
        "走廊 过道 廊下 ホール 복도",
    ),
];

/// The class of a room of that name. Names joined with ` / ` stand in one room with no wall between them: those that say
/// something have to agree, or it is an open plan.
pub fn class(name: &str) -> Option<RoomClass> {
    let mut found = name.split(" / ").filter_map(one);
    let first = found.next()?;
    match found.all(|other| other == first) {
        true => Some(first),
        false => Some(RoomClass::OpenPlan),
    }
}

fn one(name: &str) -> Option<RoomClass> {
    // `W.I.C.` is one word; a figure ends one (`BED2`).
    let name = folded(name).replace('.', "");
    // `EN-SUITE` is one word too.
    let solid = name.replace('-', "");
    let parted = |name: &'_ str| {
        name.split(|c: char| !c.is_alphabetic())
            .map(str::to_string)
            .collect::<Vec<_>>()
    };
    let words: Vec<String> = [parted(&name), parted(&solid)].concat();
    (TABLE.iter())
        .find(|(_, spaced, unspaced)| {
            spaced
                .split_whitespace()
                .any(|known| words.iter().any(|w| w == known))
                || unspaced.split_whitespace().any(|known| name.contains(known))
        })
        .map(|(class, ..)| *class)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::plan::RoomClass::OpenPlan;

    #[test]
    fn names_in_the_languages_of_plans() {
        for (name, expected) in [
            ("HALL", Hall),
            ("STAIR HALL", Stair),
            ("FOYER", Entry),
            ("W.I.C.", Closet),
            ("MASTER CLOSET", Closet),
            ("CL.", Closet),
            ("HALL BATH", Bath),
            ("M. BATH", Bath),
            ("RESTROOM", Bath),
            ("PRIMARY SUITE", Bedroom),
            ("PRIMARY BATH", Bath),
            ("EN-SUITE", Bath),
            ("PWD. RM.", Bath),
            ("WET BAR", Dining),
            ("COPY", Office),
            ("LR", Living),
            ("DR", Dining),
            ("BREEZEWAY", Porch),
            ("Área de serviço", Utility),
            ("REC ROOM", Living),
            ("STORE", Storage),
            ("LAUN.", Utility),
            ("PDR", Bath),
            ("Master Bedroom", Bedroom),
            ("BED2", Bedroom),
            ("KITCHEN", Kitchen),
            ("BREAKFAST NOOK", Dining),
            ("GREAT ROOM", Living),
            ("2-CAR GARAGE", Garage),
            ("LAUNDRY", Utility),
            ("MECH. ROOM", Utility),
            ("WALK-IN PANTRY", Pantry),
            ("SCREENED PORCH", Porch),
            ("OFFICE", Office),
            ("STORAGE", Storage),
            ("Baño 1", Bath),
            ("Recámara", Bedroom),
            ("ESTANCIA", Living),
            ("SÉJOUR", Living),
            ("Salle à manger", Dining),
            ("Salle de bains", Bath),
            ("Küche", Kitchen),
            ("Kochen", Kitchen),
            ("Treppenhaus", Stair),
            ("Sala de jantar", Dining),
            ("Circulação", Hall),
            ("主卧室", Bedroom),
            ("主卧卫生间", Bath),
            ("玄関ホール", Entry),
            ("キッチン", Kitchen),
            ("다용도실", Utility),
            ("BEDROOM 2 / BEDROOM 3", Bedroom),
            ("BEDROOM 2 / WINDOW SEAT", Bedroom),
            ("DINING ROOM / GREAT ROOM / KITCHEN", OpenPlan),
            ("LIV. RM.", Living),
            ("DIN. RM.", Dining),
            ("SUN RM", Living),
            ("LOFT", Living),
            ("BONUS", Living),
            ("OWNER'S SUITE", Bedroom),
            ("OWNER'S BATH", Bath),
            ("S.D.B.", Bath),
            ("2-CAR GAR.", Garage),
            ("LIN.", Closet),
            ("VEST.", Entry),
        ] {
            assert_eq!(class(name), Some(expected), "{name}");
        }
        for name in [
            "GALLERY",
            "LIVERY",
            "GARDEN",
            "SUNDECKS",
            "ROOM 3",
            "SHALLOW",
            "BATHE",
            "和室6畳",
            "R6",
            "",
            " / ",
        ] {
            assert_eq!(class(name), None, "{name}");
        }
    }

    #[test]
    fn every_word_is_of_one_class_and_in_the_form_it_is_compared_in() {
        let mut seen = BTreeSet::new();
        for (_, spaced, unspaced) in TABLE {
            for word in spaced.split_whitespace().chain(unspaced.split_whitespace()) {
                assert_eq!(folded(word), word);
                assert!(seen.insert(word), "{word} twice");
            }
        }
    }
}
