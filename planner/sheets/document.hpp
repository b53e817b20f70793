/// \file document.hpp
/// \brief A paper of headings, facts, tables and paragraphs, as text and as PDF.
///
/// Purpose:  one value, two forms, so that the two cannot differ.
/// Units:    PDF: A4 or letter.
/// Range:    as many pages as needed; tables of up to eight columns.
/// Promise:  the same document gives the same bytes.
/// Errors:   OutputFailed from the canvas.
/// Source:   own.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace nestround::sheets {

struct DocumentTable {
    std::vector<std::string> heads;
    std::vector<double> shares;  ///< of the width, one a column
    std::vector<std::vector<std::string>> rows;
};

struct DocumentPart {
    std::string heading;
    std::vector<std::pair<std::string, std::string>> facts;
    DocumentTable table;
    std::vector<std::string> paragraphs;
};

struct Document {
    std::string title;
    std::string subtitle;
    std::vector<DocumentPart> parts;
    std::string foot;
    std::string instant;  ///< as of ISO 8601; the PDF's date
};

[[nodiscard]] std::string document_text(const Document& document);
[[nodiscard]] std::string document_pdf(const Document& document, bool letter);

}  // namespace nestround::sheets
