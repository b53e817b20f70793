#include "planner/sheets/document.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "planner/sheets/map_canvas.hpp"
#include "planner/sheets/text_page.hpp"

namespace nestround::sheets {

namespace {

constexpr Colour kInk{0x111111, 1};
constexpr Colour kQuiet{0x555555, 1};
constexpr Colour kRule{0x999999, 1};
constexpr double kMargin = 18;

class Pages {
public:
    Pages(const Document& document, double width, double height)
        : document_{document},
          width_{width},
          height_{height},
          canvas_{MapFormat::Pdf, width, height, 72}
    {
        canvas_.describe(document.title, document.instant);
        y_ = kMargin + 5;
        canvas_.text({kMargin, y_}, document.title, {7, Weight::Bold, kInk, 0});
        y_ += 6;
        canvas_.text({kMargin, y_}, document.subtitle, {3.4, Weight::Normal, kQuiet, 0},
                     Align::Left, inner());
        y_ += 4;
        rule(0.5);
    }

    [[nodiscard]] double inner() const { return width_ - 2 * kMargin; }

    void heading(const std::string& words)
    {
        room(16);
        y_ += 8;
        canvas_.text({kMargin, y_}, words, {4.2, Weight::Bold, kInk, 0});
        y_ += 2;
    }
    void fact(const std::string& what, const std::string& words)
    {
        const Font font{3.2, Weight::Normal, kInk, 0};
        const double left = kMargin + 42;
        const double tall = canvas_.paragraph_height(inner() - 42, words, font);
        room(tall + 1);
        canvas_.text({kMargin, y_ + 4}, what, {3.2, Weight::Normal, kQuiet, 0});
        canvas_.paragraph({left, y_ + 0.9}, inner() - 42, words, font);
        y_ += tall + 1.2;
    }
    void paragraph(const std::string& words)
    {
        const Font font{3.2, Weight::Normal, kInk, 0};
        const double tall = canvas_.paragraph_height(inner(), words, font);
        room(tall + 2);
        canvas_.paragraph({kMargin, y_ + 1.5}, inner(), words, font);
        y_ += tall + 2;
    }
    void table(const DocumentTable& table)
    {
        y_ += 2;
        row(table, table.heads, true);
        for (const auto& cells : table.rows) {
            row(table, cells, false);
        }
    }
    [[nodiscard]] std::string finish()
    {
        foot();
        return canvas_.finish();
    }

private:
    void rule(double pen)
    {
        canvas_.move_to({kMargin, y_});
        canvas_.line_to({width_ - kMargin, y_});
        canvas_.stroke({kRule, pen, {}});
    }
    void foot()
    {
        canvas_.text({kMargin, height_ - 10}, document_.foot, {2.4, Weight::Normal, kQuiet, 0},
                     Align::Left, inner() - 20);
        canvas_.text({width_ - kMargin, height_ - 10}, fmt::format("page {}", page_),
                     {2.4, Weight::Normal, kQuiet, 0}, Align::Right);
    }
    /// A new page when what comes would reach the foot.
    void room(double tall)
    {
        if (y_ + tall > height_ - kMargin) {
            foot();
            canvas_.next_page();
            ++page_;
            y_ = kMargin;
        }
    }
    void row(const DocumentTable& table, const std::vector<std::string>& cells, bool is_head)
    {
        const Font font{2.9, is_head ? Weight::Bold : Weight::Normal, is_head ? kQuiet : kInk, 0};
        double tall = 0;
        for (std::size_t i = 0; i < cells.size(); ++i) {
            tall = std::max(
                tall, canvas_.paragraph_height(table.shares[i] * inner() - 2, cells[i], font));
        }
        room(tall + 3);
        double x = kMargin;
        for (std::size_t i = 0; i < cells.size(); ++i) {
            canvas_.paragraph({x, y_ + 1}, table.shares[i] * inner() - 2, cells[i], font);
            x += table.shares[i] * inner();
        }
        y_ += tall + 2.2;
        rule(is_head ? 0.3 : 0.1);
    }

    const Document& document_;
    double width_;
    double height_;
    Canvas canvas_;
    double y_ = 0;
    int page_ = 1;
};

}  // namespace

std::string document_text(const Document& document)
{
    TextPage page{96, false};
    page.line(document.title);
    page.line(document.subtitle);
    for (const auto& part : document.parts) {
        page.blank();
        page.heading(part.heading, Ink::Plain);
        for (const auto& [what, words] : part.facts) {
            page.block(fmt::format("{:<22}", what), std::string(22, ' '), Ink::Plain, words);
        }
        for (std::size_t r = 0; r < part.table.rows.size(); ++r) {
            for (std::size_t i = 0; i < part.table.heads.size(); ++i) {
                page.block(fmt::format("{}{:<20}", i == 0 ? "- " : "  ", part.table.heads[i]),
                           std::string(22, ' '), Ink::Plain, part.table.rows[r][i]);
            }
        }
        for (const auto& words : part.paragraphs) {
            page.block("", "", Ink::Plain, words);
        }
    }
    page.blank();
    page.line(document.foot);
    return page.take();
}

std::string document_pdf(const Document& document, bool letter)
{
    Pages pages{document, letter ? 215.9 : 210.0, letter ? 279.4 : 297.0};
    for (const auto& part : document.parts) {
        pages.heading(part.heading);
        for (const auto& [what, words] : part.facts) {
            pages.fact(what, words);
        }
        if (!part.table.rows.empty()) {
            pages.table(part.table);
        }
        for (const auto& words : part.paragraphs) {
            pages.paragraph(words);
        }
    }
    return pages.finish();
}

}  // namespace nestround::sheets
