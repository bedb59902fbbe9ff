//! Photos lose what tells where they were taken; what is no photo, or would fill the memory, is refused.

use axum::http::{StatusCode, header};
use image::codecs::jpeg::JpegEncoder;
use image::{ImageBuffer, ImageFormat, Rgb};

use crate::base::{Browser, base};

fn jpeg(wide: u32, high: u32, tint: u8) -> Vec<u8> {
    let picture =
        ImageBuffer::from_fn(wide, high, |x, y| Rgb([x.to_le_bytes()[0], y.to_le_bytes()[0], tint]));
    let mut bytes = Vec::new();
    picture.write_with_encoder(JpegEncoder::new(&mut bytes)).expect("a picture in memory");
    bytes
}

/// A small picture.
pub(crate) fn picture() -> Vec<u8> {
    jpeg(40, 30, 90)
}

/// Another one.
pub(crate) fn other_picture() -> Vec<u8> {
    jpeg(40, 30, 200)
}

/// The same with a block of EXIF after its first mark: turned by a quarter, and a latitude.
///
/// # Source
/// Exif 2.32 and TIFF 6.0 (from memory): tag 0x0112 is the orientation (6: turn right to show it), 0x8825 points to the
/// table of GPS, whose tag 1 is N or S and tag 2 three fractions.
fn with_exif(jpeg: &[u8]) -> Vec<u8> {
    let mut tiff = b"MM\0*\0\0\0\x08".to_vec();
    tiff.extend([0, 2]);
    tiff.extend([0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, 6, 0, 0]);
    tiff.extend([0x88, 0x25, 0, 4, 0, 0, 0, 1, 0, 0, 0, 38]);
    tiff.extend([0, 0, 0, 0]);
    tiff.extend([0, 2]);
    tiff.extend([0, 1, 0, 2, 0, 0, 0, 2, b'N', 0, 0, 0]);
    tiff.extend([0, 2, 0, 5, 0, 0, 0, 3, 0, 0, 0, 68]);
    tiff.extend([0, 0, 0, 0]);
    for part in [43u32, 54, 12] {
        tiff.extend(part.to_be_bytes());
        tiff.extend(1u32.to_be_bytes());
    }
    tiff.extend(b"GPS-43.9-69.6");
    let body = [b"Exif\0\0".as_slice(), &tiff].concat();
    let length = u16::try_from(body.len() + 2).expect("a short block").to_be_bytes();
    [&jpeg[..2], &[0xff, 0xe1], &length, &body, &jpeg[2..]].concat()
}

fn holds(bytes: &[u8], part: &[u8]) -> bool {
    bytes.windows(part.len()).any(|window| window == part)
}

/// Sends photos as a program does; the status and the text.
async fn send(files: &[(&str, &[u8])]) -> (Browser, StatusCode, String) {
    let mut browser = Browser::new(&base(Vec::new(), &[]).await);
    let seal = browser.sealed("/settings/prices").await.0;
    let got = browser.post_parts("/photos", &[("seal", &seal)], files).await;
    (browser, got.status, got.text())
}

#[tokio::test]
async fn a_photo_is_kept_upright_and_small_without_where_it_was_taken() {
    let sent = with_exif(&jpeg(2400, 1200, 90));
    assert!(holds(&sent, b"Exif") && holds(&sent, b"GPS-43.9-69.6"));
    let (mut browser, status, text) = send(&[("photos", &sent)]).await;
    assert_eq!(status, StatusCode::CREATED, "{text}");
    let hash = text.split('"').find(|part| part.len() == 64).expect("a hash").to_owned();
    let got = browser.get(&format!("/photo/{hash}")).await;
    assert_eq!(got.status, StatusCode::OK);
    assert_eq!(got.headers[header::CONTENT_TYPE], "image/jpeg");
    assert_eq!(got.headers[header::X_CONTENT_TYPE_OPTIONS], "nosniff");
    let cache = got.headers[header::CACHE_CONTROL].to_str().expect("text");
    assert!(cache.contains("immutable") && cache.contains("private"), "{cache}");
    assert!(!holds(&got.bytes, b"Exif") && !holds(&got.bytes, b"GPS"), "where it was taken is still in it");
    let kept = image::load_from_memory_with_format(&got.bytes, ImageFormat::Jpeg).expect("a sound picture");
    assert_eq!((kept.width(), kept.height()), (800, 1600), "turned upright, and made smaller");
    assert_eq!(browser.get(&format!("/photo/{}", "0".repeat(64))).await.status, StatusCode::NOT_FOUND);
    assert_eq!(browser.get("/photo/none").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn what_is_no_photo_is_refused() {
    let torn = &picture()[..120];
    for (bytes, words) in [
        (b"%PDF-1.7 not a picture".as_slice(), "send a JPEG or PNG picture"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "send a JPEG or PNG picture"),
        (b"GIF89a\x01\0\x01\0\0\0\0;", "send a JPEG or PNG picture"),
        (torn, "did not come through whole"),
    ] {
        let (_, status, text) = send(&[("photos", bytes)]).await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{text}");
        assert!(text.contains(words), "{text}");
    }
    let one = picture();
    let many: Vec<(&str, &[u8])> = (0..7).map(|_| ("photos", one.as_slice())).collect();
    assert_eq!(send(&many).await.1, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(send(&[]).await.1, StatusCode::BAD_REQUEST);
}

/// A small file that says that it is 30,000 by 30,000 points: nothing of that size is set aside for it.
#[tokio::test]
async fn a_bomb_is_refused() {
    let mut png = Vec::new();
    image::DynamicImage::new_luma8(8, 8)
        .write_to(&mut std::io::Cursor::new(&mut png), ImageFormat::Png)
        .expect("a picture in memory");
    // The head says how wide and high, then a checksum over its name and content (PNG, section 11.2.2).
    png[16..20].copy_from_slice(&30_000u32.to_be_bytes());
    png[20..24].copy_from_slice(&30_000u32.to_be_bytes());
    let sum = crc(&png[12..29]).to_be_bytes();
    png[29..33].copy_from_slice(&sum);
    let (_, status, text) = send(&[("photos", &png)]).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{text}");
    assert!(text.contains("too many points"), "{text}");
}

/// CRC-32 as PNG has it (its annex D).
fn crc(bytes: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    for byte in bytes {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            sum = if sum & 1 == 1 { (sum >> 1) ^ 0xedb8_8320 } else { sum >> 1 };
        }
    }
    !sum
}

#[tokio::test]
async fn what_is_too_long_is_refused() {
    let (_, status, text) = send(&[("photos", &vec![0u8; 13 * 1024 * 1024])]).await;
    assert_eq!(status, StatusCode::PAYLOAD_TOO_LARGE, "{text}");
}

cases![
    a_photo_is_kept_upright_and_small_without_where_it_was_taken,
    what_is_no_photo_is_refused,
    a_bomb_is_refused,
    what_is_too_long_is_refused,
];
