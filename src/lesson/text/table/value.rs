//! What a single value of TOML is: its kind in words, its number, its text as written.

use toml::de::DeValue;

/// What kind of value it is, in words.
pub(super) fn kind(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "`true` or `false`",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// The number of an integer or a float, which may be infinite or not a number.
pub(super) fn number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(integer) if integer.radix() == 10 => integer.as_str().parse().ok(),
        DeValue::Integer(integer) => i32::from_str_radix(integer.as_str(), integer.radix())
            .ok()
            .map(f64::from),
        DeValue::Float(float) => float.as_str().parse().ok(),
        _ => None,
    }
}

/// A parameter as text: a text as it is, a number as written, a list joined by commas.
pub(super) fn as_written(value: &DeValue<'_>) -> Option<String> {
    match value {
        DeValue::String(text) => Some(text.to_string()),
        DeValue::Integer(integer) if integer.radix() == 10 => Some(integer.as_str().to_owned()),
        DeValue::Float(float) => Some(float.as_str().to_owned()),
        DeValue::Array(items) => items
            .iter()
            .map(|item| match item.get_ref() {
                DeValue::Array(_) => None,
                other => as_written(other),
            })
            .collect::<Option<Vec<_>>>()
            .map(|texts| texts.join(", ")),
        _ => None,
    }
}
