#include "planner/sheets/label_sheet.hpp"

#include <fmt/format.h>
#include <qrencode.h>

#include <algorithm>
#include <cmath>
#include <memory>

#include "geocore/base/error.hpp"
#include "planner/sheets/map_canvas.hpp"

namespace nestround::sheets {

namespace {

constexpr Colour kInk{0x000000, 1};
constexpr double kPad = 2;  ///< within a label; printers miss by a millimetre
constexpr double kDot = 25.4 / 300;
constexpr int kQuiet = 4;              ///< modules around a QR code
constexpr double kLeastModule = 0.35;  ///< what a plain printer and a telephone still manage

struct FreeQr {
    void operator()(QRcode* code) const { QRcode_free(code); }
};

/// The code as squares; the quiet zone lies within the box.
void draw_qr(Canvas& canvas, const PageBox& box, const std::string& words)
{
    const std::unique_ptr<QRcode, FreeQr> code{
        QRcode_encodeString(words.c_str(), 0, QR_ECLEVEL_M, QR_MODE_8, 1)};
    if (!code) {
        throw Failure{ErrorCode::OutputFailed, "the QR code could not be made"};
    }
    // Edges on the dots of a printer of 300 to the inch, so that no module is drawn grey.
    const auto on_dot = [](double mm) { return std::floor(mm / kDot + 1e-6) * kDot; };
    const double module = on_dot(box.width / (code->width + 2 * kQuiet));
    const double spare = (box.width - module * (code->width + 2 * kQuiet)) / 2;
    const PagePoint corner{on_dot(box.x + spare), on_dot(box.y + spare)};
    if (module < kLeastModule) {
        throw Failure{ErrorCode::BadUsage,
                      "the label is too small for a QR code that can be read: make it larger"};
    }
    for (int y = 0; y < code->width; ++y) {
        for (int x = 0; x < code->width;) {
            const auto dark = [&](int at) {
                return at < code->width && (code->data[y * code->width + at] & 1U) != 0;
            };
            int run = 0;
            while (dark(x + run)) {
                ++run;
            }
            if (run > 0) {
                canvas.rectangle({corner.x + (x + kQuiet) * module,
                                  corner.y + (y + kQuiet) * module, run * module, module});
                canvas.fill(kInk);
            }
            x += run + 1;
        }
    }
}

/// The largest letters up to `most` with which the text is no wider than `width`.
double fitting(Canvas& canvas, const std::string& text, Font font, double most, double width)
{
    font.size = most;
    const double wide = canvas.text_width(text, font);
    return wide > width ? most * width / wide : most;
}

void draw_label(Canvas& canvas, const PageBox& box, const LotLabel& label)
{
    const auto& lot = label.lot;
    const double inside = box.height - 2 * kPad;
    // The quiet zone may lie on the label's own margin.
    const double side = std::min({inside + kPad, box.width * 0.42, 30.0});
    draw_qr(canvas, {box.right() - side, box.y + (box.height - side) / 2, side, side}, lot.code);
    const double x = box.x + kPad;
    const double width = box.width - side - kPad;
    const double step = inside / 6;
    double y = box.y + kPad;
    const auto line = [&](const std::string& text, Weight weight, double lines) {
        y += lines * step;
        Font font{0, weight, kInk, 0};
        font.size = fitting(canvas, text, font, 0.78 * lines * step, width);
        if (font.size < 1.2) {
            throw Failure{ErrorCode::BadUsage,
                          fmt::format("'{}' does not fit a label of {:g} x {:g} mm: make it larger",
                                      text, box.width, box.height)};
        }
        canvas.text({x, y - 0.28 * lines * step}, text, font);
    };
    line(lot.code, Weight::Bold, 1.6);
    line(label.name, Weight::Slanted, 1);
    line(fmt::format("{}  {}", lot.taxon,
                     lot.purpose == LotPurpose::Venom ? "for venom" : "NOT FOR VENOM"),
         lot.purpose == LotPurpose::Venom ? Weight::Normal : Weight::Bold, 0.85);
    line("frozen " + format_instant(lot.frozen_at).substr(0, 10), Weight::Bold, 1);
    line(fmt::format("{:.1f} g net{}", lot.mass ? lot.mass->value() : 0.0,
                     lot.count ? fmt::format(", {} wasps", *lot.count) : ""),
         Weight::Normal, 0.9);
    line("sealed " + format_instant(*lot.sealed_at).substr(0, 10), Weight::Normal, 0.65);
}

std::pair<double, double> margin_of(const LabelSheet& sheet)
{
    const int columns = columns_of(sheet);
    const int rows = rows_of(sheet);
    return sheet.margin.value_or(std::pair{
        (sheet.page_width - columns * (sheet.label_width + sheet.gap_x) + sheet.gap_x) / 2,
        (sheet.page_height - rows * (sheet.label_height + sheet.gap_y) + sheet.gap_y) / 2});
}

int fit(double page, double margin, double label, double gap)
{
    return static_cast<int>(std::floor((page - margin + gap) / (label + gap) + 1e-9));
}

}  // namespace

int columns_of(const LabelSheet& sheet)
{
    return fit(sheet.page_width, sheet.margin ? sheet.margin->first : 0, sheet.label_width,
               sheet.gap_x);
}

int rows_of(const LabelSheet& sheet)
{
    return fit(sheet.page_height, sheet.margin ? sheet.margin->second : 0, sheet.label_height,
               sheet.gap_y);
}

std::string label_sheet_pdf(const std::vector<LotLabel>& labels, const LabelSheet& sheet)
{
    if (!(sheet.label_width >= 30) || !(sheet.label_height >= 20) || sheet.page_width > 2000 ||
        sheet.page_height > 2000) {
        throw Failure{ErrorCode::BadUsage,
                      "a label is at least 30 x 20 mm, and a sheet at most 2000 mm either way"};
    }
    const int columns = columns_of(sheet);
    const int rows = rows_of(sheet);
    if (columns < 1 || rows < 1) {
        throw Failure{
            ErrorCode::BadUsage,
            fmt::format("a label of {:g} x {:g} mm does not fit a sheet of {:g} x {:g} mm",
                        sheet.label_width, sheet.label_height, sheet.page_width,
                        sheet.page_height)};
    }
    const auto [left, top] = margin_of(sheet);
    Canvas canvas{MapFormat::Pdf, sheet.page_width, sheet.page_height, 72};
    // The day of the last seal, not of the print: the same labels are the same file.
    Instant latest{};
    for (const auto& label : labels) {
        latest = std::max(latest, *label.lot.sealed_at);
    }
    canvas.describe("Labels of lots", format_instant(latest).substr(0, 19) + "Z");
    int place = sheet.skip % (columns * rows);
    for (std::size_t i = 0; i < labels.size(); ++i) {
        if (i > 0 && place == 0) {
            canvas.next_page();
        }
        const PageBox box{left + (place % columns) * (sheet.label_width + sheet.gap_x),
                          top + (place / columns) * (sheet.label_height + sheet.gap_y),
                          sheet.label_width, sheet.label_height};
        if (sheet.outlines) {
            canvas.rectangle(box);
            canvas.stroke({{0x999999, 1}, 0.1, {}});
        }
        draw_label(canvas, box, labels[i]);
        place = (place + 1) % (columns * rows);
    }
    return canvas.finish();
}

}  // namespace nestround::sheets
