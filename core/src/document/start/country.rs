//! What homes of a country mostly have. From memory; both can be changed in the household.

use crate::household::Supply;

/// Voltage system of homes in a country (ISO 3166, two letters); single-phase 230 V where nothing better is known.
pub(super) fn supply(country: &str) -> Supply {
    match country {
        "US" | "CA" | "PR" | "MX" | "GT" | "HN" | "SV" | "NI" | "CR" | "PA" | "CO" | "EC"
        | "VE" | "DO" | "TW" => Supply::SplitPhase120V240V60Hz,
        "AT" | "BE" | "CH" | "CZ" | "DE" | "DK" | "EE" | "FI" | "IS" | "LI" | "LT" | "LU"
        | "LV" | "NL" | "NO" | "PL" | "SE" | "SI" | "SK" => Supply::ThreePhase230V400V50Hz,
        _ => Supply::SinglePhase230V50Hz,
    }
}

/// ISO 4217 code of a country's currency; US dollar where none is listed.
pub(super) fn currency(country: &str) -> &'static str {
    match country {
        "AT" | "BE" | "BG" | "CY" | "DE" | "EE" | "ES" | "FI" | "FR" | "GR" | "HR" | "IE"
        | "IT" | "LT" | "LU" | "LV" | "MC" | "ME" | "MT" | "NL" | "PT" | "SI" | "SK" | "SM"
        | "XK" => "EUR",
        "AE" => "AED",
        "AR" => "ARS",
        "AU" => "AUD",
        "BD" => "BDT",
        "BR" => "BRL",
        "CA" => "CAD",
        "CH" | "LI" => "CHF",
        "CL" => "CLP",
        "CN" => "CNY",
        "CO" => "COP",
        "CZ" => "CZK",
        "DK" => "DKK",
        "EG" => "EGP",
        "GB" => "GBP",
        "GH" => "GHS",
        "HU" => "HUF",
        "ID" => "IDR",
        "IL" => "ILS",
        "IN" => "INR",
        "IS" => "ISK",
        "JP" => "JPY",
        "KE" => "KES",
        "KR" => "KRW",
        "LK" => "LKR",
        "MA" => "MAD",
        "MX" => "MXN",
        "MY" => "MYR",
        "NG" => "NGN",
        "NO" => "NOK",
        "NZ" => "NZD",
        "PH" => "PHP",
        "PK" => "PKR",
        "PL" => "PLN",
        "RO" => "RON",
        "RS" => "RSD",
        "SA" => "SAR",
        "SE" => "SEK",
        "SG" => "SGD",
        "TH" => "THB",
        "TR" => "TRY",
        "TW" => "TWD",
        "TZ" => "TZS",
        "UA" => "UAH",
        "VN" => "VND",
        "ZA" => "ZAR",
        _ => "USD",
    }
}
