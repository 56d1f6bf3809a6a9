//! What a USB adapter says about itself.

/// What a USB adapter says about itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UsbIdentity {
    /// Vendor number.
    pub vendor_id: u16,
    /// Product number.
    pub product_id: u16,
    /// Serial number.
    pub serial: Option<String>,
}
