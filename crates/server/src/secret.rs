//! Secrets: tokens that nobody can guess, and hashes of passwords.

use argon2::password_hash::{PasswordHash, PasswordHasher, PasswordVerifier, SaltString};
use argon2::{Algorithm, Argon2, Params, Version};
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;

use crate::app::Failure;

/// Kibibytes, rounds and lanes of argon2id.
///
/// # Source
/// OWASP, “Password Storage Cheat Sheet”: 19 MiB, two rounds, one lane (from memory).
const COST: (u32, u32, u32) = (19 * 1024, 2, 1);

/// A secret of 256 bits that fits into an address and a cookie.
pub(crate) fn token() -> Result<String, Failure> {
    let mut bytes = [0u8; 32];
    getrandom::fill(&mut bytes).map_err(|_| Failure::NoChance)?;
    Ok(URL_SAFE_NO_PAD.encode(bytes))
}

/// 128 bits of chance.
pub(crate) fn chance() -> Result<u128, Failure> {
    let mut bytes = [0u8; 16];
    getrandom::fill(&mut bytes).map_err(|_| Failure::NoChance)?;
    Ok(u128::from_le_bytes(bytes))
}

/// The hash of a password, with its salt and its costs in it. It takes time and memory on purpose: not on a thread that
/// answers.
pub(crate) fn hash(password: &str) -> Result<String, Failure> {
    let mut bytes = [0u8; 16];
    getrandom::fill(&mut bytes).map_err(|_| Failure::NoChance)?;
    let salt = SaltString::encode_b64(&bytes).map_err(|_| Failure::Broken)?;
    let hash = hasher()?.hash_password(password.as_bytes(), &salt).map_err(|_| Failure::Broken)?;
    Ok(hash.to_string())
}

/// Whether a password is the one of a hash. Of a hash that can't be read, such as that of an account without a
/// password, none is.
pub(crate) fn fits(password: &str, hash: &str) -> bool {
    let (Ok(hasher), Ok(hash)) = (hasher(), PasswordHash::new(hash)) else { return false };
    hasher.verify_password(password.as_bytes(), &hash).is_ok()
}

/// Whether two secrets are the same, in a time that does not tell where they differ.
pub(crate) fn same(one: &str, other: &str) -> bool {
    one.len() == other.len() && one.bytes().zip(other.bytes()).fold(0, |odd, (a, b)| odd | (a ^ b)) == 0
}

fn hasher() -> Result<Argon2<'static>, Failure> {
    let (memory, rounds, lanes) = COST;
    let params = Params::new(memory, rounds, lanes, None).map_err(|_| Failure::Broken)?;
    Ok(Argon2::new(Algorithm::Argon2id, Version::V0x13, params))
}
