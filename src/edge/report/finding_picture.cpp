#include "edge/report/finding_picture.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "edge/report/legible.hpp"

namespace strandbook {
namespace {

constexpr TextStyle point_label{Face::sans, 7.2};
constexpr double label_width = 34;
constexpr double label_height = 11;

struct Extent {
  double low = 1e300;
  double high = -1e300;
  void take(double value) {
    low = std::min(low, value);
    high = std::max(high, value);
  }
  void widen() {
    const double room = high > low ? 0.05 * (high - low) : 0.1;
    low -= room;
    high += room;
  }
};

struct Frame {
  Box box;
  Extent x;
  Extent y;
  Point at(double px, double py) const {
    return {box.x + box.width * (px - x.low) / (x.high - x.low),
            box.y + box.height * (1 - (py - y.low) / (y.high - y.low))};
  }
};

Frame frame_of(const Box& box, const Picture& picture) {
  Frame frame{
      {box.x + label_width, box.y + label_height, box.width - label_width, box.height - 2 * label_height},
      {},
      {}};
  for (const Picture::Point& point : picture.points) {
    frame.x.take(point.x);
    frame.y.take(point.y);
  }
  for (const Picture::Level& level : picture.levels) frame.y.take(level.y);
  frame.x.widen();
  frame.y.widen();
  return frame;
}

}  // namespace

std::string picture_told(const Picture& picture, const Wording& words) {
  const auto marked = std::count_if(picture.points.begin(), picture.points.end(),
                                    [](const Picture::Point& point) { return point.marked; });
  return words.say(fmt::format("Picture: {} over {}, {} points, {} of them marked.",
                               words.say(picture.y_name), words.say(picture.x_name), picture.points.size(),
                               marked));
}

void draw_finding_picture(Canvas& canvas, const Box& box, const Picture& picture, const Wording& words) {
  if (picture.points.size() < 2) return;
  const Frame frame = frame_of(box, picture);
  const Box& in = frame.box;
  canvas.line({in.x, in.y}, {in.x, in.y + in.height}, 0.5, Ink::grey);
  canvas.line({in.x, in.y + in.height}, {in.x + in.width, in.y + in.height}, 0.5, Ink::grey);
  canvas.text({{in.x - 3, in.y + 6}, label_width, Align::right}, point_label, Ink::grey,
              words.decimal(frame.y.high, 2));
  canvas.text({{in.x - 3, in.y + in.height}, label_width, Align::right}, point_label, Ink::grey,
              words.decimal(frame.y.low, 2));
  canvas.text({{in.x, in.y - 4}, in.width}, point_label, Ink::grey, words.say(picture.y_name));
  canvas.text({{in.x + in.width, in.y + in.height + 9}, in.width, Align::right}, point_label, Ink::grey,
              words.say(picture.x_name));
  for (const Picture::Level& level : picture.levels)
    canvas.line(frame.at(level.from, level.y), frame.at(level.to, level.y), 1.1, Ink::ink);
  for (const Picture::Point& point : picture.points) {
    const Point at = frame.at(point.x, point.y);
    const double half = point.marked ? 1.9 : 1.3;
    const Box dot{at.x - half, at.y - half, 2 * half, 2 * half};
    if (point.marked)
      canvas.fill(dot, Ink::accent);
    else
      canvas.frame(dot, 0.5, Ink::ink);
  }
}

}  // namespace strandbook
