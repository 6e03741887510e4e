//! Bytes packed and unpacked by the browser itself: a library for it would be
//! 15 kB of the download.

use js_sys::{Array, ArrayBuffer, Uint8Array};
use wasm_bindgen::prelude::wasm_bindgen;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, ReadableWritablePair, Response};

/// Deflate without header or check sum (RFC 1951).
const FORMAT: &str = "deflate-raw";

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(extends = ReadableWritablePair)]
    type CompressionStream;
    #[wasm_bindgen(constructor, catch)]
    fn new(format: &str) -> Result<CompressionStream, JsValue>;

    #[wasm_bindgen(extends = ReadableWritablePair)]
    type DecompressionStream;
    #[wasm_bindgen(constructor, catch)]
    fn new(format: &str) -> Result<DecompressionStream, JsValue>;
}

/// Packs bytes; nothing where the browser cannot.
pub async fn pack(bytes: &[u8]) -> Option<Vec<u8>> {
    through(bytes, CompressionStream::new(FORMAT).ok()?.into()).await.ok()
}

/// Unpacks bytes; nothing where they are damaged. They may become a thousand
/// times as many, no more (1032, by the format's longest match in two bits).
pub async fn unpack(bytes: &[u8]) -> Option<Vec<u8>> {
    through(bytes, DecompressionStream::new(FORMAT).ok()?.into()).await.ok()
}

async fn through(bytes: &[u8], stream: ReadableWritablePair) -> Result<Vec<u8>, JsValue> {
    let whole = Blob::new_with_u8_array_sequence(&Array::of1(&Uint8Array::from(bytes)))?;
    let passed = whole.stream().pipe_through(&stream);
    let read = Response::new_with_opt_readable_stream(Some(&passed))?.array_buffer()?;
    let buffer: ArrayBuffer = JsFuture::from(read).await?.dyn_into()?;
    Ok(Uint8Array::new(&buffer).to_vec())
}
