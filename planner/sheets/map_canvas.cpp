#include "planner/sheets/map_canvas.hpp"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <cairo.h>
#include <fmt/format.h>
#include <pango/pangocairo.h>

#include <cmath>
#include <map>
#include <numbers>

#include "geocore/base/error.hpp"

#ifdef __SANITIZE_ADDRESS__
// Fontconfig keeps its caches for the life of the process, out of the leak checker's sight.
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions() { return "leak:libfontconfig\n"; }
extern "C" const char* __lsan_default_options();
extern "C" const char* __lsan_default_options() { return "print_suppressions=0"; }
#endif

namespace nestround::sheets {

namespace {

// Pango rounds to 1/1024 unit: text is laid out large and drawn small.
constexpr double kTextScale = 16;

template <auto Release>
struct Releaser {
    template <class T>
    void operator()(T* thing) const
    {
        Release(thing);
    }
};
using Surface = std::unique_ptr<cairo_surface_t, Releaser<cairo_surface_destroy>>;
using Context = std::unique_ptr<cairo_t, Releaser<cairo_destroy>>;
using Layout = std::unique_ptr<PangoLayout, Releaser<g_object_unref>>;
using Description = std::unique_ptr<PangoFontDescription, Releaser<pango_font_description_free>>;
using Options = std::unique_ptr<cairo_font_options_t, Releaser<cairo_font_options_destroy>>;

cairo_status_t append(void* into, const unsigned char* data, unsigned int length)
{
    static_cast<std::string*>(into)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
}

/// Cairo numbers an SVG's groups by a counter of the process: renumber them by first appearance,
/// so that the second map of a run is the same as the first.
std::string with_own_numbers(const std::string& svg)
{
    static constexpr std::string_view kName = "surface";
    std::map<std::string, std::string> numbers;
    std::string out;
    std::size_t from = 0;
    for (std::size_t at = svg.find(kName); at != std::string::npos; at = svg.find(kName, from)) {
        const std::size_t digits = at + kName.size();
        std::size_t end = digits;
        while (end < svg.size() && svg[end] >= '0' && svg[end] <= '9') {
            ++end;
        }
        out.append(svg, from, digits - from);
        if (end > digits) {
            const auto [entry, fresh] = numbers.try_emplace(svg.substr(digits, end - digits),
                                                            std::to_string(numbers.size() + 1));
            out += entry->second;
        }
        from = end;
    }
    return out.append(svg, from);
}

}  // namespace

struct Canvas::Cairo {
    MapFormat format;
    std::string bytes;
    Surface surface;
    Context context;
    Layout layout;

    void check() const
    {
        cairo_status_t status = cairo_status(context.get());
        if (status == CAIRO_STATUS_SUCCESS) {
            status = cairo_surface_status(surface.get());
        }
        if (status != CAIRO_STATUS_SUCCESS) {
            throw Failure{ErrorCode::OutputFailed,
                          fmt::format("the map could not be drawn ({}); try a smaller page",
                                      cairo_status_to_string(status))};
        }
    }
    void source(Colour colour) const
    {
        cairo_set_source_rgba(context.get(), ((colour.rgb >> 16U) & 255U) / 255.0,
                              ((colour.rgb >> 8U) & 255U) / 255.0, (colour.rgb & 255U) / 255.0,
                              colour.opacity);
    }
    void set(std::string_view text, const Font& font, double width) const
    {
        const Description description{pango_font_description_new()};
        pango_font_description_set_family_static(description.get(), "DejaVu Sans");
        pango_font_description_set_absolute_size(description.get(),
                                                 font.size * kTextScale * PANGO_SCALE);
        if (font.weight == Weight::Bold) {
            pango_font_description_set_weight(description.get(), PANGO_WEIGHT_BOLD);
        } else if (font.weight == Weight::Slanted) {
            pango_font_description_set_style(description.get(), PANGO_STYLE_OBLIQUE);
        }
        pango_layout_set_font_description(layout.get(), description.get());
        const std::string fit_text = clean(text);
        pango_layout_set_text(layout.get(), fit_text.c_str(), static_cast<int>(fit_text.size()));
        pango_layout_set_width(layout.get(),
                               width > 0 ? static_cast<int>(width * kTextScale * PANGO_SCALE) : -1);
    }
    /// What `set` prepared, with its base line's start at `p`.
    void show(PagePoint p, const Font& font) const
    {
        cairo_t* c = context.get();
        PangoLayoutLine* line = pango_layout_get_line_readonly(layout.get(), 0);
        cairo_save(c);
        cairo_translate(c, p.x, p.y);
        cairo_scale(c, 1 / kTextScale, 1 / kTextScale);
        if (font.halo > 0) {
            cairo_move_to(c, 0, 0);
            pango_cairo_layout_line_path(c, line);
            source({0xfffefa, 0.9});
            cairo_set_line_width(c, 2 * font.halo * kTextScale);
            cairo_set_line_join(c, CAIRO_LINE_JOIN_ROUND);
            cairo_set_dash(c, nullptr, 0, 0);
            cairo_stroke(c);
        }
        source(font.colour);
        cairo_move_to(c, 0, 0);
        pango_cairo_show_layout_line(c, line);
        cairo_new_path(c);
        cairo_restore(c);
    }
    [[nodiscard]] double shown_width() const
    {
        int width = 0;
        pango_layout_get_size(layout.get(), &width, nullptr);
        return width / (kTextScale * PANGO_SCALE);
    }
};

Canvas::Canvas(MapFormat format, double width_mm, double height_mm, double dots_per_inch)
    : cairo_{std::make_unique<Cairo>()}
{
    cairo_->format = format;
    double dots_per_mm = 72 / 25.4;
    if (format == MapFormat::Svg) {
        cairo_->surface.reset(cairo_svg_surface_create_for_stream(
            append, &cairo_->bytes, width_mm * dots_per_mm, height_mm * dots_per_mm));
    } else if (format == MapFormat::Pdf) {
        cairo_->surface.reset(cairo_pdf_surface_create_for_stream(
            append, &cairo_->bytes, width_mm * dots_per_mm, height_mm * dots_per_mm));
        // No date, unless describe() is told one: the clock's would make every file another one.
        cairo_pdf_surface_set_metadata(cairo_->surface.get(), CAIRO_PDF_METADATA_CREATOR,
                                       "Nestround");
        cairo_pdf_surface_set_metadata(cairo_->surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, "");
    } else {
        dots_per_mm = dots_per_inch / 25.4;
        cairo_->surface.reset(cairo_image_surface_create(
            CAIRO_FORMAT_RGB24, static_cast<int>(std::lround(width_mm * dots_per_mm)),
            static_cast<int>(std::lround(height_mm * dots_per_mm))));
    }
    cairo_->context.reset(cairo_create(cairo_->surface.get()));
    cairo_->check();
    cairo_t* c = cairo_->context.get();
    cairo_scale(c, dots_per_mm, dots_per_mm);
    cairo_set_line_join(c, CAIRO_LINE_JOIN_ROUND);
    cairo_set_line_cap(c, CAIRO_LINE_CAP_ROUND);

    cairo_->layout.reset(pango_cairo_create_layout(c));
    PangoContext* pango = pango_layout_get_context(cairo_->layout.get());
    const Options options{cairo_font_options_create()};
    cairo_font_options_set_hint_style(options.get(), CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options.get(), CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(options.get(), CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(pango, options.get());
    pango_context_set_round_glyph_positions(pango, FALSE);
    pango_layout_set_wrap(cairo_->layout.get(), PANGO_WRAP_WORD_CHAR);
    pango_cairo_context_set_resolution(pango, 72);
}

Canvas::~Canvas() = default;

void Canvas::move_to(PagePoint p) { cairo_move_to(cairo_->context.get(), p.x, p.y); }
void Canvas::line_to(PagePoint p) { cairo_line_to(cairo_->context.get(), p.x, p.y); }
void Canvas::curve_to(PagePoint c1, PagePoint c2, PagePoint p)
{
    cairo_curve_to(cairo_->context.get(), c1.x, c1.y, c2.x, c2.y, p.x, p.y);
}
void Canvas::close() { cairo_close_path(cairo_->context.get()); }

void Canvas::circle(PagePoint middle, double radius)
{
    cairo_new_sub_path(cairo_->context.get());
    cairo_arc(cairo_->context.get(), middle.x, middle.y, radius, 0, 2 * std::numbers::pi);
    close();
}

void Canvas::rectangle(const PageBox& box)
{
    cairo_rectangle(cairo_->context.get(), box.x, box.y, box.width, box.height);
}

void Canvas::rounded(const PageBox& box, double radius)
{
    cairo_t* c = cairo_->context.get();
    constexpr double q = std::numbers::pi / 2;
    cairo_new_sub_path(c);
    cairo_arc(c, box.right() - radius, box.y + radius, radius, -q, 0);
    cairo_arc(c, box.right() - radius, box.bottom() - radius, radius, 0, q);
    cairo_arc(c, box.x + radius, box.bottom() - radius, radius, q, 2 * q);
    cairo_arc(c, box.x + radius, box.y + radius, radius, 2 * q, 3 * q);
    close();
}

void Canvas::polyline(const PageLine& line)
{
    for (std::size_t k = 0; k < line.size(); ++k) {
        k == 0 ? move_to(line[k]) : line_to(line[k]);
    }
}

void Canvas::fill_keep(Colour colour)
{
    cairo_->source(colour);
    cairo_fill_preserve(cairo_->context.get());
}

void Canvas::fill(Colour colour)
{
    cairo_->source(colour);
    cairo_fill(cairo_->context.get());
}

void Canvas::stroke(const Pen& pen)
{
    cairo_t* c = cairo_->context.get();
    cairo_->source(pen.colour);
    cairo_set_line_width(c, pen.width);
    cairo_set_dash(c, pen.dashes.data(), static_cast<int>(pen.dashes.size()), 0);
    cairo_stroke(c);
}

void Canvas::clip(const PageBox& box)
{
    cairo_save(cairo_->context.get());
    cairo_new_path(cairo_->context.get());
    rectangle(box);
    cairo_clip(cairo_->context.get());
}

void Canvas::unclip() { cairo_restore(cairo_->context.get()); }

double Canvas::text_width(std::string_view text, const Font& font)
{
    cairo_->set(text, font, 0);
    return cairo_->shown_width();
}

void Canvas::text(PagePoint p, std::string_view text, const Font& font, Align align, double most)
{
    cairo_->set(text, font, most);
    pango_layout_set_ellipsize(cairo_->layout.get(),
                               most > 0 ? PANGO_ELLIPSIZE_END : PANGO_ELLIPSIZE_NONE);
    if (align != Align::Left) {
        p.x -= cairo_->shown_width() * (align == Align::Middle ? 0.5 : 1);
    }
    cairo_->show(p, font);
    pango_layout_set_ellipsize(cairo_->layout.get(), PANGO_ELLIPSIZE_NONE);
}

double Canvas::paragraph(PagePoint p, double width, std::string_view text, const Font& font)
{
    cairo_->set(text, font, width);
    cairo_t* c = cairo_->context.get();
    int height = 0;
    pango_layout_get_size(cairo_->layout.get(), nullptr, &height);
    cairo_save(c);
    cairo_translate(c, p.x, p.y);
    cairo_scale(c, 1 / kTextScale, 1 / kTextScale);
    cairo_->source(font.colour);
    cairo_move_to(c, 0, 0);
    pango_cairo_show_layout(c, cairo_->layout.get());
    cairo_new_path(c);
    cairo_restore(c);
    return height / (kTextScale * PANGO_SCALE);
}

double Canvas::paragraph_height(double width, std::string_view text, const Font& font)
{
    cairo_->set(text, font, width);
    int height = 0;
    pango_layout_get_size(cairo_->layout.get(), nullptr, &height);
    return height / (kTextScale * PANGO_SCALE);
}

void Canvas::next_page() { cairo_show_page(cairo_->context.get()); }

void Canvas::describe(const std::string& title, const std::string& instant)
{
    cairo_surface_t* surface = cairo_->surface.get();
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, clean(title).c_str());
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, instant.c_str());
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_MOD_DATE, instant.c_str());
}

std::string Canvas::finish()
{
    cairo_->check();
    cairo_->layout.reset();
    cairo_->context.reset();
    if (cairo_->format == MapFormat::Png) {
        if (cairo_surface_write_to_png_stream(cairo_->surface.get(), append, &cairo_->bytes) !=
            CAIRO_STATUS_SUCCESS) {
            throw Failure{ErrorCode::OutputFailed, "the map could not be written as PNG"};
        }
        return std::move(cairo_->bytes);
    }
    cairo_surface_finish(cairo_->surface.get());
    if (cairo_->format == MapFormat::Pdf) {
        return std::move(cairo_->bytes);
    }
    return with_own_numbers(cairo_->bytes);
}

}  // namespace nestround::sheets
