//! The base's prices, as they are kept.

use std::collections::BTreeMap;

use pages::dock::tariff::{SETTING, read as read_fields, unset};
use records::Tariff;
use serde_json::Value;

use crate::app::{App, Failure};

/// The prices as they were typed, by field; nothing if none were ever set.
///
/// # Errors
/// If the store fails.
pub(crate) async fn typed(app: &App) -> Result<Option<BTreeMap<String, String>>, Failure> {
    let Some(json) = app.store.setting(SETTING).await? else { return Ok(None) };
    let Ok(Value::Object(fields)) = serde_json::from_str(&json) else { return Ok(None) };
    let text = |value: Value| match value {
        Value::String(text) => text,
        other => other.to_string(),
    };
    Ok(Some(fields.into_iter().map(|(field, value)| (field, text(value))).collect()))
}

/// The prices by which charges are worked out, and whether the base has set any that can be read.
///
/// # Errors
/// If the store fails.
pub(crate) async fn read(app: &App) -> Result<(Tariff, bool), Failure> {
    let set = typed(app).await?.and_then(|fields| read_fields(&fields).ok());
    let known = set.is_some();
    set.or_else(unset).map(|tariff| (tariff, known)).ok_or(Failure::Broken)
}

/// Keeps prices as they were typed.
///
/// # Errors
/// If the store fails.
pub(crate) async fn save(app: &App, typed: &BTreeMap<String, String>) -> Result<(), Failure> {
    let json = serde_json::to_string(typed).unwrap_or_default();
    Ok(app.store.set(SETTING, &json).await?)
}
