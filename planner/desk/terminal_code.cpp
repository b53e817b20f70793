#include "planner/desk/terminal_code.hpp"

#include <qrencode.h>

#include <memory>

namespace nestround::desk {

std::string terminal_code(const std::string& text)
{
    const std::unique_ptr<QRcode, decltype(&QRcode_free)> code{
        QRcode_encodeString8bit(text.c_str(), 0, QR_ECLEVEL_M), &QRcode_free};
    if (!code) {
        return {};
    }
    const int width = code->width;
    const auto dark = [&](int x, int y) {
        return x >= 0 && y >= 0 && x < width && y < width && (code->data[y * width + x] & 1) != 0;
    };
    constexpr int kMargin = 2;
    std::string out;
    for (int y = -kMargin; y < width + kMargin; y += 2) {
        // Black on white whatever the terminal's colours are.
        out += "\x1b[30;107m";
        for (int x = -kMargin; x < width + kMargin; ++x) {
            const bool above = dark(x, y);
            const bool below = dark(x, y + 1);
            out += above && below ? "\u2588" : above ? "\u2580" : below ? "\u2584" : " ";
        }
        out += "\x1b[0m\n";
    }
    return out;
}

}  // namespace nestround::desk
