//! What a `WebDAV` server says is in a folder: a `multistatus` document (RFC 4918, section 14.16), read for names alone.

use std::collections::BTreeSet;

use crate::folder::PartName;

/// The longest listing that is read, bytes: some 5,000 parts.
pub const MOST_BYTES: usize = 4 << 20;
/// The most elements and texts of a listing.
const MOST_NODES: u32 = 200_000;
const DAV: &str = "DAV:";

/// What a folder holds.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Listing {
    /// The parts, by their names.
    pub parts: BTreeSet<PartName>,
    /// How many other things are in it, the folder itself among them; they are left alone.
    pub n_others: usize,
}

/// The answer is no listing: another kind of server, or a page that asks to log in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the answer is no listing of a folder")]
pub struct NoListing;

/// Reads a listing. A document type, and with it every entity of its own, is refused.
///
/// # Errors
/// [`NoListing`].
pub fn read(bytes: &[u8]) -> Result<Listing, NoListing> {
    let text = std::str::from_utf8(bytes).map_err(|_| NoListing)?;
    if text.len() > MOST_BYTES {
        return Err(NoListing);
    }
    let options = roxmltree::ParsingOptions {
        allow_dtd: false,
        nodes_limit: MOST_NODES,
        ..roxmltree::ParsingOptions::default()
    };
    let document = roxmltree::Document::parse_with_options(text, options).map_err(|_| NoListing)?;
    let root = document.root_element();
    if !root.has_tag_name((DAV, "multistatus")) {
        return Err(NoListing);
    }
    let mut listing = Listing::default();
    for response in root
        .children()
        .filter(|node| node.has_tag_name((DAV, "response")))
    {
        let href = response.children().find(|node| node.has_tag_name((DAV, "href")));
        let name = href
            .and_then(|href| href.text())
            .and_then(|href| href.trim().rsplit('/').next());
        match name.and_then(|name| name.parse().ok()) {
            Some(part) => drop(listing.parts.insert(part)),
            None => listing.n_others += 1,
        }
    }
    Ok(listing)
}
