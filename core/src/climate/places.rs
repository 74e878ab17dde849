//! Places by name.
//!
//! The file is text: a line of countries `code=name`, a line of IANA time zones, and one place per line, most people first:
//! name, region (US, CA, AU and GB only), country code, latitude and longitude in hundredths of a degree, height in m, and the
//! number of the time zone from 0. Fields are parted by `|`.

mod own_names;

pub use own_names::OWN_NAMES;

use super::ReadError;

/// A town that people know by name.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Name in its usual spelling.
    pub name: String,
    /// State, province or nation; empty where the name and country are enough.
    pub region: String,
    /// ISO 3166 code of the country.
    pub country_code: String,
    /// Name of the country, in English.
    pub country: String,
    /// Latitude, °, north positive.
    pub latitude_deg: f64,
    /// Longitude, °, east positive.
    pub longitude_deg: f64,
    /// Height above sea level, m; ±100 m or worse in mountains.
    pub elevation_m: f64,
    /// IANA name of the time zone.
    pub time_zone: String,
}

/// All places, most people first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Places {
    places: Vec<Place>,
    /// Name, region and country of each place as [`folded`] text, parted by spaces; after a bar each, its other names.
    keys: Vec<String>,
}

impl Places {
    /// Takes the unpacked text of `places.txt.gz`.
    ///
    /// # Errors
    /// The first line that is not as the module describes.
    pub fn parse(text: &str) -> Result<Self, ReadError> {
        let mut lines = text.lines().zip(1..);
        let (countries, _) = lines
            .next()
            .ok_or_else(|| ReadError::new(1, 0, "", "countries"))?;
        let (zones, _) = lines
            .next()
            .ok_or_else(|| ReadError::new(2, 0, "", "time zones"))?;
        let countries: Vec<(&str, &str)> = countries
            .split('|')
            .filter_map(|country| country.split_once('='))
            .collect();
        let zones: Vec<&str> = zones.split('|').collect();
        let mut places = Vec::new();
        let mut keys = Vec::new();
        for (line, number) in lines {
            let place = place(line, number, &countries, &zones)?;
            keys.push(key(&place));
            places.push(place);
        }
        Ok(Self { places, keys })
    }

    /// All places.
    #[must_use]
    pub fn all(&self) -> &[Place] {
        &self.places
    }

    /// The places that match what was typed, at most `most`, best first.
    ///
    /// Letters match without accents and without case, `ae`, `oe` and `ue` as `ä`, `ö` and `ü`. Places of which a name, in English or of
    /// [`OWN_NAMES`], begins with the first word typed come before those
    /// that have a word beginning so, and these before those that contain it; every further word must begin a word of the name,
    /// the region or the country. Among equals those with more people come first. Nothing typed matches nothing.
    #[must_use]
    pub fn search(&self, typed: &str, most: usize) -> Vec<&Place> {
        let typed = folded(typed);
        let mut words = typed.split(' ').filter(|word| !word.is_empty());
        let Some(first) = words.next() else {
            return Vec::new();
        };
        let others: Vec<&str> = words.collect();
        let begins_a_word = |key: &str, word: &str| {
            key.split([' ', NAMES])
                .any(|of_key| of_key.starts_with(word))
        };
        let mut ranks: [Vec<&Place>; 3] = Default::default();
        for (place, key) in self.places.iter().zip(&self.keys) {
            if !others.iter().all(|word| begins_a_word(key, word)) {
                continue;
            }
            let rank = if key.split(NAMES).any(|name| name.starts_with(first)) {
                0
            } else if begins_a_word(key, first) {
                1
            } else if key.contains(first) {
                2
            } else {
                continue;
            };
            if let Some(rank) = ranks.get_mut(rank) {
                rank.push(place);
            }
        }
        ranks.into_iter().flatten().take(most).collect()
    }
}

/// Parts the names of a place in its key.
const NAMES: char = '|';

/// What a place is found by.
fn key(place: &Place) -> String {
    let mut key = folded(&format!(
        "{} {} {} {}",
        place.name, place.region, place.country_code, place.country
    ));
    let own = own_names::of(&place.country_code, &place.name);
    let spellings = own
        .flat_map(|name| [folded(name), folded(&spelled_out(name))])
        .chain([folded(&spelled_out(&place.name))]);
    for spelling in spellings {
        let is_new = !key.split(NAMES).any(|name| name.starts_with(&spelling));
        if is_new {
            key.push(NAMES);
            key.push_str(&spelling);
        }
    }
    key
}

/// Letters with two dots, a ring or a stroke as two letters, as they are typed where a keyboard has none.
fn spelled_out(name: &str) -> String {
    let mut out = String::with_capacity(name.len());
    for letter in name.chars().flat_map(char::to_lowercase) {
        match letter {
            'ä' => out.push_str("ae"),
            'ö' | 'ø' => out.push_str("oe"),
            'ü' => out.push_str("ue"),
            'å' => out.push_str("aa"),
            other => out.push(other),
        }
    }
    out
}

fn place(
    line: &str,
    number: usize,
    countries: &[(&str, &str)],
    zones: &[&str],
) -> Result<Place, ReadError> {
    let fields: Vec<&str> = line.split('|').collect();
    let &[name, region, code, latitude, longitude, elevation, zone] = fields.as_slice() else {
        return Err(ReadError::new(number, 0, line, "seven fields"));
    };
    let whole = |column: usize, field: &str, expected: &str| -> Result<i32, ReadError> {
        field
            .parse()
            .map_err(|_| ReadError::new(number, column, field, expected))
    };
    let zone_number = whole(7, zone, "number of a time zone")?;
    let time_zone = usize::try_from(zone_number)
        .ok()
        .and_then(|index| zones.get(index))
        .ok_or_else(|| ReadError::new(number, 7, zone, "number of a time zone"))?;
    let country = countries
        .iter()
        .find(|(of_list, _)| *of_list == code)
        .map_or(code, |(_, name)| name);
    Ok(Place {
        name: name.to_owned(),
        region: region.to_owned(),
        country_code: code.to_owned(),
        country: country.to_owned(),
        latitude_deg: f64::from(whole(4, latitude, "latitude in hundredths of a degree")?) / 100.0,
        longitude_deg: f64::from(whole(5, longitude, "longitude in hundredths of a degree")?)
            / 100.0,
        elevation_m: f64::from(whole(6, elevation, "height in m")?),
        time_zone: (*time_zone).to_owned(),
    })
}

/// Small Latin letters without accents, and single spaces for all that is neither letter nor digit.
fn folded(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars().flat_map(char::to_lowercase) {
        match letter {
            'à'..='å' | 'ā' | 'ă' | 'ą' | 'ǎ' | 'ạ'..='ặ' => out.push('a'),
            'æ' => out.push_str("ae"),
            'ç' | 'ć' | 'ĉ' | 'ċ' | 'č' => out.push('c'),
            'ð' | 'ď' | 'đ' | 'ḍ' | 'ḑ' => out.push('d'),
            'è'..='ë' | 'ē' | 'ĕ' | 'ė' | 'ę' | 'ě' | 'ẹ'..='ệ' | 'ə' => out.push('e'),
            'ĝ' | 'ğ' | 'ġ' | 'ģ' | 'ǧ' => out.push('g'),
            'ĥ' | 'ħ' | 'ḥ' | 'ḩ' => out.push('h'),
            'ì'..='ï' | 'ĩ' | 'ī' | 'ĭ' | 'į' | 'ı' | 'ỉ' | 'ị' => out.push('i'),
            'ķ' | 'ḱ' | 'ḵ' => out.push('k'),
            'ĺ' | 'ļ' | 'ľ' | 'ł' => out.push('l'),
            'ñ' | 'ń' | 'ņ' | 'ň' => out.push('n'),
            'ò'..='ö' | 'ø' | 'ō' | 'ŏ' | 'ő' | 'ơ' | 'ọ'..='ợ' => out.push('o'),
            'œ' => out.push_str("oe"),
            'ŕ' | 'ŗ' | 'ř' => out.push('r'),
            'ś' | 'ŝ' | 'ş' | 'š' | 'ș' | 'ṣ' => out.push('s'),
            'ß' => out.push_str("ss"),
            'ţ' | 'ť' | 'ț' | 'ṭ' | 'ŧ' => out.push('t'),
            'þ' => out.push_str("th"),
            'ù'..='ü' | 'ũ' | 'ū' | 'ŭ' | 'ů' | 'ű' | 'ų' | 'ư' | 'ụ'..='ự' => {
                out.push('u')
            }
            'ŵ' => out.push('w'),
            'ý' | 'ÿ' | 'ŷ' | 'ỳ'..='ỹ' => out.push('y'),
            'ź' | 'ż' | 'ž' | 'ẕ' | 'z' => out.push('z'),
            // Apostrophes and combining accents part no words.
            '\'' | '\u{2018}' | '\u{2019}' | '\u{2bb}' | '\u{2bc}' | '`' => {}
            '\u{300}'..='\u{36f}' => {}
            other if other.is_alphanumeric() => out.push(other),
            _ if out.is_empty() || out.ends_with(' ') => {}
            _ => out.push(' '),
        }
    }
    out.truncate(out.trim_end().len());
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = "BR=Brazil|US=United States|FR=France\nAmerica/Sao_Paulo|America/New_York|Europe/Paris\n\
        São Paulo||BR|-2355|-4663|760|0\nSaint Paul|MN|US|4494|-9309|214|1\nParis||FR|4885|235|42|2\nL'Haÿ-les-Roses||FR|4878|233|90|2\n";

    fn names(places: &[&Place]) -> Vec<String> {
        places.iter().map(|place| place.name.clone()).collect()
    }

    #[test]
    fn places_are_found_without_accents_by_beginning_then_by_word_then_by_part() {
        let places = Places::parse(FILE).unwrap();
        assert_eq!(names(&places.search("sao", 9)), ["São Paulo"]);
        assert_eq!(
            names(&places.search("PAUL", 9)),
            ["São Paulo", "Saint Paul"]
        );
        assert_eq!(
            names(&places.search("pa", 9)),
            ["Paris", "São Paulo", "Saint Paul"]
        );
        assert_eq!(names(&places.search("saint mn", 9)), ["Saint Paul"]);
        assert_eq!(names(&places.search("lhay les", 9)), ["L'Haÿ-les-Roses"]);
        assert_eq!(names(&places.search("aris", 1)), ["Paris"]);
        assert!(places.search("  ", 9).is_empty());
        assert!(places.search("nowhere", 9).is_empty());
    }

    #[test]
    fn dots_over_letters_may_be_typed_as_two_letters() {
        let places = Places::parse("DE=Germany\nEurope/Berlin\nKöln||DE|5094|696|54|0\n").unwrap();
        for typed in ["Köln", "koln", "KOELN", "koeln germany", "Cologne"] {
            assert_eq!(names(&places.search(typed, 9)), ["Köln"], "{typed}");
        }
    }

    #[test]
    fn a_place_carries_country_and_time_zone_by_name() {
        let places = Places::parse(FILE).unwrap();
        let place = &places.all()[0];
        assert_eq!(
            (place.country.as_str(), place.time_zone.as_str()),
            ("Brazil", "America/Sao_Paulo")
        );
        assert_eq!((place.latitude_deg, place.longitude_deg), (-23.55, -46.63));
    }

    #[test]
    fn a_damaged_line_is_named() {
        let error = Places::parse("A=B\nzone\nx||A|1|2|3|9\n").unwrap_err();
        assert_eq!((error.line, error.column), (3, 7));
        assert!(Places::parse("").is_err());
        assert!(Places::parse("A=B\nzone\nx||A|1|2|3\n").is_err());
    }
}
