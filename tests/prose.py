"""The English sentences of src/: what the program can say to a person, as templates with {} for what is put in."""
import json
import pathlib
import re

TOKEN = re.compile(r'''R"(\w*)\((?P<raw>.*?)\)\1"|"(?P<text>(?:[^"\\\n]|\\.)*)"|(?P<skip>//[^\n]*|/\*.*?\*/|\s+|^[ \t]*\#[^\n]*)'''
                   r'''|'(?:[^'\\\n]|\\.)+'|(?P<word>[\w.]+)|(?P<sign>\+=|==|<<|::|->|[^\w\s])''', re.S | re.M)
ESCAPES = {'n': '\n', 't': '\t', '"': '"', '\\': '\\', "'": "'"}
CLOSING = {'(': ')', '[': ']', '{': '}'}
BREAKS = {',', ';', '?', ':', '=', '+=', '==', '<<', '&', '|'}
FORMATTERS = {'format', 'format_to'}
MAKERS = {'string', 'string_view'}
UNITS = {'nm', 'dBm', 'km', 'ns', 'ms', 'mW'}


class Text(str):
    line = 0


def tokens(source):
    """Literals as Text (adjacent ones joined), everything else as plain str."""
    out = []
    for match in TOKEN.finditer(source):
        if match['skip'] is not None:
            continue
        literal = match['raw']
        if match['text'] is not None:
            literal = re.sub(r'\\(.)', lambda m: ESCAPES.get(m[1], m[0]), match['text'])
        if literal is None:
            out.append(match[0])
            continue
        text = Text(literal if not (out and isinstance(out[-1], Text)) else out.pop() + literal)
        text.line = source.count('\n', 0, match.start()) + 1
        out.append(text)
    return out


def split_groups(stream, closing=None):
    """Nested lists: each bracket is a list that begins with its opening sign."""
    group = []
    for token in stream:
        if not isinstance(token, Text) and token in CLOSING:
            group.append([token] + split_groups(stream, CLOSING[token]))
        elif not isinstance(token, Text) and token == closing:
            return group
        else:
            group.append(token)
    return group


def segments(group):
    part = []
    for token in group:
        plain = isinstance(token, str) and not isinstance(token, Text)
        if plain and (token in BREAKS or token in ('return', 'case')):
            if part:
                yield part
            part = []
        elif isinstance(token, list) and token[0] == '{' and part and isinstance(part[-1], list):
            yield part  # the body of a function or a branch
            part = [token]
        else:
            part.append(token)
    if part:
        yield part


def holes(template):
    """The placeholders of a format as {}."""
    return re.sub(r'\{[^{}]*\}', '{}', template.replace('{{', '\1').replace('}}', '\2')).replace('\1', '{').replace('\2', '}')


def is_made(token):
    """The brackets of std::string("...")."""
    return isinstance(token, list) and token[0] in '({' and len(token) == 2 and isinstance(token[1], Text)


def joined(part, formatted):
    """The template of one side of a comma: literals, and {} for each term between plus signs."""
    terms, term = [], []
    for token in part + ['+']:
        if token == '+' and not isinstance(token, Text):
            terms.append(term)
            term = []
        else:
            term.append(token)
    out, line, told = '', 0, False
    for term in terms:
        texts = [token for token in term if isinstance(token, Text)]
        texts += [token[1] for name, token in zip(term, term[1:]) if isinstance(name, str) and name in MAKERS and is_made(token)]
        if len(texts) == 1:
            out += holes(texts[0]) if formatted else texts[0]
            line, told = texts[0].line, True
        elif not texts or told:
            out += '{}'
    return (out, line) if told else None


def walk(group, found, before=''):
    formatted = before in FORMATTERS
    for part in segments(group):
        made = joined(part, formatted)
        if made:
            found.append(made + (before == 'Problem',))
        last = ''
        for token in part:
            if isinstance(token, list) and not (last in MAKERS and is_made(token)):
                walk(token[1:], found, last)
            last = token if isinstance(token, str) else ''


def key_of(template):
    """How the catalogue holds it: what is glued to something else has a {} at that side."""
    text = template
    if re.match(r' [^A-Z{]', text) or re.match(r" \{\}[^.]", text):
        text = '{}' + text
    if re.search(r'[^.?!{}] $', text):
        text += '{}'
    text = re.sub(r'(\{\})+', '{}', text)
    text = re.sub(r'^[ ,;:.]+', '', text)
    return re.sub(r'[\s,;]+$', '', text)


def is_prose(key):
    """Two words and more, or one beside what is put in ("rule {}")."""
    words = [word for word in re.findall(r"[A-Za-z][a-z]+", key.replace('{}', ' ')) if word not in UNITS]
    if '{}' in key and words and re.search(r'[A-Za-z{}\"]([:,]?) +[A-Za-z{\"(]', key):
        return True
    return len(words) >= 2 and re.search(r"[A-Za-z,:;?{}] +[A-Za-z{(\"]|[a-z]\.$", key) is not None


def of_file(path):
    """(key, line) of every literal of this file that reads as words."""
    found = []
    walk(split_groups(iter(tokens(path.read_text()))), found)
    return [(key_of(text), line, told) for text, line, told in found]


def of_tree(root, left_out):
    """{key: (place, whether a person reads it)} of every literal; a Problem is read whatever it holds."""
    out = {}
    src = pathlib.Path(root) / 'src'
    for path in sorted(src.rglob('*.[ch]pp')):
        name = str(path.relative_to(src))
        if re.search(r'_test[._]|_for_test', name) or any(name.startswith(each) for each in left_out):
            continue
        for key, line, told in of_file(path):
            place, so_far = out.get(key, (f'src/{name}:{line}', False))
            out[key] = (place, so_far or told or is_prose(key))
    return out


SPOKEN_MEMBERS = {'note', 'notes', 'title', 'text', 'needs', 'consequence'}
SPOKEN_EVERYWHERE = {'cause'}  # findings say it, whatever else of its file stays unsaid


def of_rules(root, left_out):
    """{sentence: place} of what the files of rules/ say beside their numbers."""
    out = {}

    def look(value, member, place, spoken):
        if isinstance(value, dict):
            for name, each in value.items():
                look(each, name, place, spoken)
        elif isinstance(value, list):
            for each in value:
                look(each, member, place, spoken)
        elif isinstance(value, str) and member in spoken and re.search('[a-z]{2}', value):
            for sentence in re.split(r'(?<=[.?!]) (?=[A-Z`])', value):
                out.setdefault(sentence, place)

    for path in sorted((pathlib.Path(root) / 'rules').glob('*/*.json')):
        place = str(path.relative_to(pathlib.Path(root) / 'rules'))
        spoken = SPOKEN_EVERYWHERE if place.startswith(left_out) else SPOKEN_MEMBERS | SPOKEN_EVERYWHERE
        look(json.loads(path.read_text()), '', str(path.relative_to(root)), spoken)
    return out
