//! Rules of summer time by place.

/// A rule of summer time and where it is in force.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ClockRule {
    /// Where it is in force.
    pub name: &'static str,
    /// The rule after POSIX.
    pub rule: &'static str,
    /// IANA time zones that follow it.
    zones: &'static [&'static str],
}

/// Rules in force in 2026. From memory of the IANA time zone data; who lives elsewhere types the rule in.
pub const CLOCK_RULES: &[ClockRule] = &[
    ClockRule {
        name: "Europe, Central",
        rule: "CET-1CEST,M3.5.0,M10.5.0/3",
        zones: &[
            "Africa/Ceuta",
            "Arctic/Longyearbyen",
            "Europe/Amsterdam",
            "Europe/Andorra",
            "Europe/Belgrade",
            "Europe/Berlin",
            "Europe/Bratislava",
            "Europe/Brussels",
            "Europe/Budapest",
            "Europe/Busingen",
            "Europe/Copenhagen",
            "Europe/Gibraltar",
            "Europe/Ljubljana",
            "Europe/Luxembourg",
            "Europe/Madrid",
            "Europe/Malta",
            "Europe/Monaco",
            "Europe/Oslo",
            "Europe/Paris",
            "Europe/Podgorica",
            "Europe/Prague",
            "Europe/Rome",
            "Europe/San_Marino",
            "Europe/Sarajevo",
            "Europe/Skopje",
            "Europe/Stockholm",
            "Europe/Tirane",
            "Europe/Vaduz",
            "Europe/Vatican",
            "Europe/Vienna",
            "Europe/Warsaw",
            "Europe/Zagreb",
            "Europe/Zurich",
        ],
    },
    ClockRule {
        name: "Europe, Eastern",
        rule: "EET-2EEST,M3.5.0/3,M10.5.0/4",
        zones: &[
            "Asia/Famagusta",
            "Asia/Nicosia",
            "Europe/Athens",
            "Europe/Bucharest",
            "Europe/Helsinki",
            "Europe/Kiev",
            "Europe/Kyiv",
            "Europe/Mariehamn",
            "Europe/Riga",
            "Europe/Sofia",
            "Europe/Tallinn",
            "Europe/Vilnius",
        ],
    },
    ClockRule {
        name: "Europe, Western",
        rule: "WET0WEST,M3.5.0/1,M10.5.0",
        zones: &[
            "Atlantic/Canary",
            "Atlantic/Faroe",
            "Atlantic/Madeira",
            "Europe/Lisbon",
        ],
    },
    ClockRule {
        name: "British Isles",
        rule: "GMT0BST,M3.5.0/1,M10.5.0",
        zones: &[
            "Europe/Belfast",
            "Europe/Dublin",
            "Europe/Guernsey",
            "Europe/Isle_of_Man",
            "Europe/Jersey",
            "Europe/London",
        ],
    },
    ClockRule {
        name: "North America, Atlantic",
        rule: "AST4ADT,M3.2.0,M11.1.0",
        zones: &["America/Halifax", "America/Moncton", "Atlantic/Bermuda"],
    },
    ClockRule {
        name: "North America, Newfoundland",
        rule: "NST3:30NDT,M3.2.0,M11.1.0",
        zones: &["America/St_Johns"],
    },
    ClockRule {
        name: "North America, Eastern",
        rule: "EST5EDT,M3.2.0,M11.1.0",
        zones: &[
            "America/Detroit",
            "America/Indiana/Indianapolis",
            "America/Iqaluit",
            "America/Kentucky/Louisville",
            "America/Montreal",
            "America/Nassau",
            "America/New_York",
            "America/Port-au-Prince",
            "America/Toronto",
        ],
    },
    ClockRule {
        name: "North America, Central",
        rule: "CST6CDT,M3.2.0,M11.1.0",
        zones: &[
            "America/Chicago",
            "America/Indiana/Knox",
            "America/Matamoros",
            "America/Menominee",
            "America/North_Dakota/Center",
            "America/Ojinaga",
            "America/Winnipeg",
        ],
    },
    ClockRule {
        name: "North America, Mountain",
        rule: "MST7MDT,M3.2.0,M11.1.0",
        zones: &[
            "America/Boise",
            "America/Ciudad_Juarez",
            "America/Denver",
            "America/Edmonton",
        ],
    },
    ClockRule {
        name: "North America, Pacific",
        rule: "PST8PDT,M3.2.0,M11.1.0",
        zones: &[
            "America/Los_Angeles",
            "America/Tijuana",
            "America/Vancouver",
        ],
    },
    ClockRule {
        name: "Alaska",
        rule: "AKST9AKDT,M3.2.0,M11.1.0",
        zones: &["America/Anchorage", "America/Juneau", "America/Sitka"],
    },
    ClockRule {
        name: "Cuba",
        rule: "CST5CDT,M3.2.0/0,M11.1.0/1",
        zones: &["America/Havana"],
    },
    ClockRule {
        name: "Chile",
        rule: "<-04>4<-03>,M9.1.6/24,M4.1.6/24",
        zones: &["America/Santiago"],
    },
    ClockRule {
        name: "Australia, Southeast",
        rule: "AEST-10AEDT,M10.1.0,M4.1.0/3",
        zones: &[
            "Australia/Canberra",
            "Australia/Hobart",
            "Australia/Melbourne",
            "Australia/Sydney",
        ],
    },
    ClockRule {
        name: "South Australia",
        rule: "ACST-9:30ACDT,M10.1.0,M4.1.0/3",
        zones: &["Australia/Adelaide", "Australia/Broken_Hill"],
    },
    ClockRule {
        name: "New Zealand",
        rule: "NZST-12NZDT,M9.5.0,M4.1.0/3",
        zones: &["Pacific/Auckland"],
    },
    ClockRule {
        name: "Israel",
        rule: "IST-2IDT,M3.4.4/26,M10.5.0",
        zones: &["Asia/Jerusalem", "Asia/Tel_Aviv"],
    },
    ClockRule {
        name: "Lebanon",
        rule: "EET-2EEST,M3.5.0/0,M10.5.0/0",
        zones: &["Asia/Beirut"],
    },
    ClockRule {
        name: "Egypt",
        rule: "EET-2EEST,M4.5.5/0,M10.5.4/24",
        zones: &["Africa/Cairo"],
    },
    ClockRule {
        name: "Moldova",
        rule: "EET-2EEST,M3.5.0,M10.5.0/3",
        zones: &["Europe/Chisinau"],
    },
];

/// The rule of an IANA time zone; none: it keeps standard time all year, or it is not listed.
#[must_use]
pub fn clock_rule_of_zone(zone: &str) -> Option<&'static str> {
    let found = CLOCK_RULES.iter().find(|rule| rule.zones.contains(&zone));
    found.map(|rule| rule.rule)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bill::Clock;

    #[test]
    fn every_rule_can_be_read_and_no_zone_stands_twice() {
        let mut zones: Vec<&str> = Vec::new();
        for rule in CLOCK_RULES {
            assert!(Clock::by_rule(rule.rule).is_ok(), "{}", rule.name);
            zones.extend(rule.zones);
        }
        let all = zones.len();
        zones.sort_unstable();
        zones.dedup();
        assert_eq!(zones.len(), all);
    }

    #[test]
    fn a_zone_has_the_rule_of_its_place() {
        assert_eq!(
            clock_rule_of_zone("America/New_York"),
            Some("EST5EDT,M3.2.0,M11.1.0")
        );
        assert_eq!(clock_rule_of_zone("America/Phoenix"), None);
        assert_eq!(clock_rule_of_zone(""), None);
    }
}
