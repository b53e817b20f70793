/// \file document.hpp
/// \brief The document of the desk's interface, and whether an answer is what it says.
#pragma once

#include <fstream>
#include <sstream>

#include "planner/desk/message.hpp"

namespace nestround::test {

/// The part of JSON Schema that the document uses.
class Document {
public:
    using Json = desk::Json;
    Document()
    {
        std::ifstream file{NESTROUND_SOURCE_DIR "/planner/desk/openapi.json"};
        std::stringstream text;
        text << file.rdbuf();
        document_ = Json::parse(text.str());
    }
    [[nodiscard]] const Json& json() const { return document_; }

    /// What does not fit, each with where; empty when all does.
    [[nodiscard]] std::vector<std::string> faults(const Json& schema, const Json& value,
                                                  const std::string& where = "") const
    {
        if (schema.contains("$ref")) {
            const auto name = schema["$ref"].get<std::string>().substr(
                std::string{"#/components/schemas/"}.size());
            return faults(document_["components"]["schemas"].at(name), value, where);
        }
        std::vector<std::string> out;
        const auto add = [&](std::vector<std::string> more) {
            out.insert(out.end(), more.begin(), more.end());
        };
        if (schema.contains("oneOf")) {
            int fitting = 0;
            for (const auto& one : schema["oneOf"]) {
                fitting += faults(one, value, where).empty() ? 1 : 0;
            }
            if (fitting != 1) {
                out.push_back(where + ": fits " + std::to_string(fitting) + " of its forms");
            }
        }
        if (schema.contains("allOf")) {
            for (const auto& one : schema["allOf"]) {
                add(faults(one, value, where));
            }
        }
        if (schema.contains("const") && schema["const"] != value) {
            out.push_back(where + ": is not " + schema["const"].dump());
        }
        if (schema.contains("enum") && std::find(schema["enum"].begin(), schema["enum"].end(),
                                                 value) == schema["enum"].end()) {
            out.push_back(where + ": " + value.dump() + " is none of its words");
        }
        if (schema.contains("type") && !is_of_type(schema["type"], value)) {
            out.push_back(where + ": is no " + schema["type"].dump() + ": " +
                          value.dump().substr(0, 60));
        }
        if (value.is_object() && schema.contains("properties")) {
            for (const auto& name : schema.value("required", Json::array())) {
                if (!value.contains(name.get<std::string>())) {
                    out.push_back(where + ": lacks " + name.get<std::string>());
                }
            }
            for (const auto& [name, member] : value.items()) {
                if (schema["properties"].contains(name)) {
                    add(faults(schema["properties"][name], member, where + "/" + name));
                }
            }
        }
        if (value.is_array() && schema.contains("items")) {
            for (std::size_t i = 0; i < value.size(); ++i) {
                add(faults(schema["items"], value[i], where + "/" + std::to_string(i)));
            }
        }
        return out;
    }

private:
    [[nodiscard]] static bool is_of_type(const Json& type, const Json& value)
    {
        if (type.is_array()) {
            return std::any_of(type.begin(), type.end(),
                               [&](const Json& one) { return is_of_type(one, value); });
        }
        return (type == "string" && value.is_string()) || (type == "number" && value.is_number()) ||
               (type == "integer" && value.is_number_integer()) ||
               (type == "boolean" && value.is_boolean()) || (type == "null" && value.is_null()) ||
               (type == "object" && value.is_object()) || (type == "array" && value.is_array());
    }

    Json document_;
};

}  // namespace nestround::test
