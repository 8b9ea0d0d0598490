//! The practice truck, drawn.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::theme::Theme;
use crate::rig::Bay;

pub(super) fn truck(_buf: &mut Buffer, _area: Rect, _bay: &Bay, _theme: Theme) {}
pub(super) fn compact(_buf: &mut Buffer, _area: Rect, _bay: &Bay, _theme: Theme) {}
pub(super) fn strip(_buf: &mut Buffer, _area: Rect, _bay: &Bay, _theme: Theme) {}
pub(super) fn gauges(
    _buf: &mut Buffer,
    _area: Rect,
    _bay: &Bay,
    _limit: Option<f64>,
    _theme: Theme,
) {
}
